"""The same finding at the prices of every day: who was the better buy then, and on which day that turned."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

from evenhand.money.break_even import Value, better_value, break_even
from evenhand.money.looked import Looked, is_out_on, price_on


@dataclass(frozen=True, slots=True, kw_only=True)
class Turn:
    """A day on which the better buy was another one than on the day before."""

    on: date
    before: Value
    after: Value


@dataclass(frozen=True, slots=True, kw_only=True)
class DayValue:
    """What each cost on a day, and whose money was better spent.

    A price is None where nobody knew it, and on days on which somebody looked and the machine was not to be
    had: `a_out`, `b_out`. Nobody is better value then.
    """

    on: date
    a_minor: int | None
    b_minor: int | None
    value: Value
    a_out: bool = False
    b_out: bool = False


def replayed(
    a: Looked,
    b: Looked,
    *,
    effect: float,
    half: float | None,
    until: date,
    over: int = 90,
    fixed_minor: int = 0,
) -> tuple[DayValue, ...]:
    """Every day of (until − over, until] at its own prices, where a is better by `effect` (a log, ± `half`).

    The difference itself is the one measured; only prices move.
    """
    days = [until - timedelta(days=ago) for ago in reversed(range(over))]
    return tuple(_day_value(day, a, b, effect, half, fixed_minor) for day in days)


def _day_value(
    on: date, a: Looked, b: Looked, effect: float, half: float | None, fixed_minor: int
) -> DayValue:
    a_minor, b_minor, value = price_on(a, on), price_on(b, on), Value.UNKNOWN
    if a_minor is not None and b_minor is not None:
        band = break_even(b_minor, effect=effect, half=half, fixed_minor=fixed_minor)
        value = better_value(a_minor, against=band)
    return DayValue(
        on=on, a_minor=a_minor, b_minor=b_minor, value=value, a_out=is_out_on(a, on), b_out=is_out_on(b, on)
    )


def turns(days: Sequence[DayValue]) -> Iterator[Turn]:
    """The days on which the better buy turned; days on which one has no price are passed over."""
    known = [day for day in days if day.value is not Value.UNKNOWN]
    for before, after in pairwise(known):
        if before.value is not after.value:
            yield Turn(on=after.on, before=before.value, after=after.value)


def shares(days: Sequence[DayValue]) -> Mapping[Value, float]:
    """The share of the days on which each was the better buy, they were level, or one had no price."""
    counts = Counter(day.value for day in days)
    return {value: counts[value] / len(days) for value in Value} if days else {}
