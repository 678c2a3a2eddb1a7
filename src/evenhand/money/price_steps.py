"""Prices of days as steps: each stands until the next one, at most 14 days, or until it is out of stock."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from evenhand.money.looked import KEPT_DAYS
from evenhand.money.price_days import HISTORY_DAYS, PriceDays


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A price that stands from a day to the beginning of `end`; `joined` where the next begins there."""

    start: date
    end: date
    minor: int
    joined: bool


def steps(
    days: PriceDays, *, until: date, over: int = HISTORY_DAYS, out: Collection[date] = ()
) -> Iterator[Step]:
    """The steps of the days (until − over, until]; the last one ends with the last day, at most 14 days on.

    A step ends before a day of `out`, on which it was in stock nowhere.

    >>> first = date(2031, 5, 1)
    >>> days = {first: 90, first + timedelta(days=3): 95}
    >>> [(step.start.day, step.end.day, step.joined) for step in steps(days, until=date(2031, 5, 20))]
    [(1, 4, True), (4, 19, False)]
    """
    own = sorted(day for day in days if until - timedelta(days=over) < day <= until)
    for at, day in enumerate(own):
        ends = (day + timedelta(days=KEPT_DAYS + 1), until + timedelta(days=1))
        last = min((*ends, *(each for each in out if each > day)))
        following = own[at + 1] if at + 1 < len(own) else None
        joined = following is not None and following <= last
        yield Step(start=day, end=following if joined and following else last, minor=days[day], joined=joined)
