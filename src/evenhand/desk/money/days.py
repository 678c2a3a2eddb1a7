"""The last 90 days at their own prices: who was better value of a pair, when that turned, who led of all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from itertools import combinations

from evenhand.desk.money.basis import MoneyGround
from evenhand.money.break_even import Value
from evenhand.money.led import DayLed, days_led, led
from evenhand.money.looked import Looked
from evenhand.money.replay import DayValue, Turn, replayed, shares, turns

OVER = 90
FEWEST = 3  # machines: who led of two is told of the pair


@dataclass(frozen=True, slots=True, kw_only=True)
class Replayed:
    """The days of a pair up to `until`, the last of `days`; on `known` ones both could be had at a price."""

    a: str
    b: str
    until: date
    days: tuple[DayValue, ...]
    turns: tuple[Turn, ...]
    shares: Mapping[Value, float]

    @property
    def known(self) -> int:
        """How many days have a price of both."""
        return sum(day.value is not Value.UNKNOWN for day in self.days)

    @property
    def out(self) -> int:
        """On how many days one of the two was not to be had."""
        return sum(day.a_out or day.b_out for day in self.days)

    def counted(self, value: Value) -> int:
        """On how many days it stood so."""
        return sum(day.value is value for day in self.days)


@dataclass(frozen=True, slots=True, kw_only=True)
class AllLed:
    """The days of all machines at once: on how many each led alone, and on how many several were tied.

    `known` days count, on which all could be had at a price; on `out` days one of them was not to be had.
    """

    machines: tuple[str, ...]
    until: date
    days: tuple[DayLed, ...]
    led: Mapping[tuple[str, ...], int]

    @property
    def known(self) -> int:
        """How many days count."""
        return sum(bool(day.leaders) for day in self.days)

    @property
    def out(self) -> int:
        """On how many days one of them was not to be had."""
        return sum(bool(day.out) for day in self.days)


def replay(
    ground: MoneyGround, looks: Mapping[str, Looked], pair: tuple[str, str], *, today: date
) -> Replayed | None:
    """The last 90 days, up to today or to the last day that has a price, if that is later.

    The difference is the one measured; only prices move. None where nothing is said of the pair's value.
    """
    edge, (a, b) = ground.edges.get(pair), pair
    if edge is None:
        return None
    own = {setup: looks.get(setup, Looked()) for setup in pair}
    until = _until(own, today)
    days = replayed(
        own[a], own[b], effect=edge.effect, half=edge.half, until=until, over=OVER,
        fixed_minor=ground.fixed_minor,
    )  # fmt: skip
    return Replayed(a=a, b=b, until=until, days=days, turns=tuple(turns(days)), shares=shares(days))


def all_led(ground: MoneyGround, looks: Mapping[str, Looked], *, today: date) -> AllLed | None:
    """Who led of all with a price; None of fewer than three, or where nothing is said of some pair."""
    machines, edges = ground.priced, ground.edges
    between = {pair: edges[pair] for pair in edges if set(pair) <= set(machines)}
    pairs = {frozenset(pair) for pair in between}
    if len(machines) < FEWEST or any(frozenset(pair) not in pairs for pair in combinations(machines, 2)):
        return None
    own = {setup: looks.get(setup, Looked()) for setup in machines}
    until = _until(own, today)
    days = led(own, between, until=until, over=OVER, fixed_minor=ground.fixed_minor)
    return AllLed(machines=machines, until=until, days=days, led=days_led(days, machines))


def _until(looks: Mapping[str, Looked], today: date) -> date:
    return max((today, *(day for each in looks.values() for day in each.days)))
