"""Amounts in one currency by the rates of their day, and what rates say of each other.

A rate stands from its day on until a later one of the same two currencies; it serves both ways. Amounts are
worked out exactly and rounded once, to the nearest minor unit, a half away from 0.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from evenhand.records.prices import Currency
from evenhand.records.rates import Rate


def rate_for(rates: Iterable[Rate], of: Currency, into: Currency, *, on: date) -> Rate | None:
    """The rate between two currencies of a day, or else the latest before it, whichever way it was written.

    Of one day the last that was written down.
    """
    own = [rate for rate in rates if {rate.of, rate.into} == {of, into} and rate.on <= on]
    return max(own, key=lambda rate: (rate.on, rate.id), default=None)


def exchanged(minor: int, rate: Rate, *, into: Currency) -> int:
    """An amount of one of a rate's two currencies in the other; above 0 it stays at least one minor unit."""
    changed = rate.changed(minor) if rate.into == into else rate.changed_back(minor)
    return max(changed, 1) if minor > 0 else changed


@dataclass(frozen=True, slots=True, kw_only=True)
class Detour:
    """What other rates say of two currencies: through which, and what one whole unit of `of` comes to."""

    through: tuple[Currency, ...]
    rate: Fraction


def detour(rate: Rate, rates: Sequence[Rate]) -> Detour | None:
    """The shortest way between a rate's currencies by others that stand on its day; None without one."""
    steps = _steps(
        [each for each in rates if each.on <= rate.on and {each.of, each.into} != {rate.of, rate.into}]
    )
    ways: deque[tuple[tuple[Currency, ...], Fraction]] = deque([((rate.of,), Fraction(1))])
    seen = {rate.of}
    while ways:
        way, so_far = ways.popleft()
        for into, by in sorted(steps.get(way[-1], {}).items(), key=lambda step: step[0].symbol):
            if into == rate.into:
                return Detour(through=way[1:], rate=so_far * by)
            if into not in seen:
                seen.add(into)
                ways.append(((*way, into), so_far * by))
    return None


def _steps(rates: Sequence[Rate]) -> dict[Currency, dict[Currency, Fraction]]:
    """By currency into which others it can be changed, and for how much, by the last rate of each two."""
    found: dict[Currency, dict[Currency, Fraction]] = {}
    for rate in sorted(rates, key=lambda each: (each.on, each.id)):
        found.setdefault(rate.of, {})[rate.into] = Fraction(rate.rate)
        found.setdefault(rate.into, {})[rate.of] = 1 / Fraction(rate.rate)
    return found
