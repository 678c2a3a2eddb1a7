"""Price and performance: what each gives for a thousand, who leads at which further cost, and each pair."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import combinations

from evenhand.desk.money.basis import MoneyGround
from evenhand.money.break_even import BreakEven, break_even
from evenhand.money.value import Lead, Stand, leads, per_thousand


@dataclass(frozen=True, slots=True, kw_only=True)
class ForMoney:
    """One setup: its price, its index with an interval, and the index for a thousand, alone and with more.

    The slowest one's index is 1; the intervals are of the difference from it, so that it has none itself.
    """

    setup: str
    minor: int
    index: tuple[float, float | None, float | None]
    alone: tuple[float, float | None, float | None]
    with_more: tuple[float, float | None, float | None]


@dataclass(frozen=True, slots=True, kw_only=True)
class PairForMoney:
    """How a pair stands at its prices, and at which price of a they are level."""

    a: str
    b: str
    stand: Stand
    even: BreakEven


@dataclass(frozen=True, slots=True, kw_only=True)
class Valued:
    """All setups with a price. `more_minor` is what must be bought besides, by this audience or by another.

    `leads` say who gives most for the money from which further cost on, by the middle of each interval.
    """

    rows: tuple[ForMoney, ...]
    more_minor: int
    leads: tuple[Lead, ...]
    pairs: tuple[PairForMoney, ...]

    def first_at(self, fixed_minor: int) -> str:
        """Who gives most with so much to be bought besides."""
        return [each for each in self.leads if each.fixed_from <= fixed_minor][-1].setup


def valued(ground: MoneyGround) -> Valued | None:
    """What each gives for the money; None where a pair of them has nothing said of value."""
    setups = ground.priced
    if any(ground.edge(a, b) is None for a, b in combinations(setups, 2)):
        return None
    logs = _logs(ground, setups)
    slowest = min(setups, key=lambda setup: logs[setup])
    more = ground.fixed_minor or max(
        (audience.fixed_minor for audience in ground.record.study.audiences), default=0
    )
    return Valued(
        rows=tuple(_row(ground, setup, logs, slowest, more) for setup in setups),
        more_minor=more,
        leads=leads({setup: math.exp(logs[setup] - logs[slowest]) for setup in setups}, ground.prices),
        pairs=tuple(_pair(ground, a, b) for a, b in ground.edges),
    )


def _logs(ground: MoneyGround, setups: tuple[str, ...]) -> dict[str, float]:
    """Each setup's index as a log, the first one's being 0; what the pairs say of one another agrees."""
    found = {setups[0]: 0.0}
    for setup in setups[1:]:
        edge = ground.edge(setup, setups[0])
        assert edge is not None
        found[setup] = edge.effect
    return found


def _row(ground: MoneyGround, setup: str, logs: dict[str, float], slowest: str, more: int) -> ForMoney:
    edge = ground.edge(setup, slowest) if setup != slowest else None
    half = None if edge is None else edge.half
    d = logs[setup] - logs[slowest]
    low, high = (None if half is None else math.exp(d + side * half) for side in (-1, 1))
    index = math.exp(d), low, high
    thousand, minor = 1000 * 10**ground.currency.decimals, ground.prices[setup]

    def over(fixed: int) -> tuple[float, float | None, float | None]:
        value, low, high = (
            None if each is None else per_thousand(each, minor, thousand=thousand, fixed_minor=fixed)
            for each in index
        )
        assert value is not None
        return value, low, high

    return ForMoney(setup=setup, minor=minor, index=index, alone=over(0), with_more=over(more))


def _pair(ground: MoneyGround, a: str, b: str) -> PairForMoney:
    edge = ground.edges[a, b]
    even = break_even(
        ground.prices[b], effect=edge.effect, half=edge.half, fixed_minor=ground.fixed_minor
    )  # fmt: skip
    return PairForMoney(a=a, b=b, stand=ground.stand(a, b), even=even)
