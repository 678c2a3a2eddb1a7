"""Who led by value on each day among all machines at once, and on which days several were tied."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from evenhand.money.break_even import Value, better_value, break_even
from evenhand.money.looked import Looked, is_out_on, price_on
from evenhand.money.value import Edge


@dataclass(frozen=True, slots=True, kw_only=True)
class DayLed:
    """A day: the machines to which no other one was better value; several of them are tied.

    Nobody leads where a machine was not to be had (`out` names those), or one has no price.
    """

    on: date
    leaders: tuple[str, ...] = ()
    out: tuple[str, ...] = ()


def led(
    machines: Mapping[str, Looked],
    edges: Mapping[tuple[str, str], Edge],
    *,
    until: date,
    over: int = 90,
    fixed_minor: int = 0,
) -> tuple[DayLed, ...]:
    """Every day of (until − over, until] at its own prices; `edges` has every two of the machines once.

    The differences are the ones measured; only prices move. Without an interval between two nobody leads.
    """
    days = (until - timedelta(days=ago) for ago in reversed(range(over)))
    return tuple(_day(day, machines, edges, fixed_minor) for day in days)


def _day(
    on: date, machines: Mapping[str, Looked], edges: Mapping[tuple[str, str], Edge], fixed_minor: int
) -> DayLed:
    out = tuple(key for key, looked in machines.items() if is_out_on(looked, on))
    prices = {key: price for key, looked in machines.items() if (price := price_on(looked, on)) is not None}
    if out or len(prices) < len(machines):
        return DayLed(on=on, out=out)
    beaten = set()
    for (a, b), edge in edges.items():
        even = break_even(prices[b], effect=edge.effect, half=edge.half, fixed_minor=fixed_minor)
        value = better_value(prices[a], against=even)
        if value is Value.UNKNOWN:
            return DayLed(on=on)
        beaten |= {Value.A: {b}, Value.B: {a}}.get(value, set())
    return DayLed(on=on, leaders=tuple(key for key in machines if key not in beaten))


def days_led(days: Iterable[DayLed], machines: Sequence[str]) -> Mapping[tuple[str, ...], int]:
    """On how many days each led alone, and after them each set that was tied, the most frequent one first."""
    counts: dict[tuple[str, ...], int] = {(machine,): 0 for machine in machines}
    for day in days:
        if day.leaders:
            counts[day.leaders] = counts.get(day.leaders, 0) + 1
    alone = {key: many for key, many in counts.items() if len(key) == 1}
    tied = sorted(counts.items() - alone.items(), key=lambda each: (-each[1], each[0]))
    return alone | dict(tied)
