"""Prices of days as steps: each stands until the next one, at most 14 days; then there is a gap."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from evenhand.money.price_days import HISTORY_DAYS, PriceDays
from evenhand.money.replay import KEPT_DAYS


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """A price that stands from a day to the beginning of `end`; `joined` where the next begins there."""

    start: date
    end: date
    minor: int
    joined: bool


def steps(days: PriceDays, *, until: date, over: int = HISTORY_DAYS) -> Iterator[Step]:
    """The steps of the days (until − over, until]; the last one ends with the last day, at most 14 days on.

    >>> first = date(2031, 5, 1)
    >>> days = {first: 90, first + timedelta(days=3): 95}
    >>> [(step.start.day, step.end.day, step.joined) for step in steps(days, until=date(2031, 5, 20))]
    [(1, 4, True), (4, 19, False)]
    """
    own = sorted(day for day in days if until - timedelta(days=over) < day <= until)
    for at, day in enumerate(own):
        last = min(day + timedelta(days=KEPT_DAYS + 1), until + timedelta(days=1))
        following = own[at + 1] if at + 1 < len(own) else None
        joined = following is not None and following <= last
        yield Step(start=day, end=following if joined and following else last, minor=days[day], joined=joined)
