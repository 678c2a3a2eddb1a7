"""What two machines are worth beside each other at any prices, and who gives most for all that is paid."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum

from evenhand.money.break_even import (
    BreakEven,
    Value,
    better_value,
    break_even,
    fixed_at_which_alike,
    is_near,
)


class Stand(StrEnum):
    """How two stand by value: level is shown to be so, open is not told apart and not shown to be level."""

    A = "a"
    B = "b"
    LEVEL = "level"
    OPEN = "open"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Edge:
    """How much better a is than b, as a log, ± `half`; None where no interval is known."""

    effect: float
    half: float | None

    @property
    def other_way(self) -> Edge:
        """How much better b is than a."""
        return Edge(effect=-self.effect, half=self.half)


def edge_of(even: BreakEven, other_minor: int, *, fixed_minor: int = 0) -> Edge:
    """The difference from which a break-even was worked out, with b at `other_minor`.

    >>> edge = edge_of(break_even(1012, effect=0.0141, half=0.0126, fixed_minor=250), 1012, fixed_minor=250)
    >>> round(edge.effect, 6), round(edge.half, 6)
    (0.0141, 0.0126)
    """
    paid = other_minor + fixed_minor
    effect = math.log((even.at + fixed_minor) / paid)
    half = None if even.high is None else math.log((even.high + fixed_minor) / paid) - effect
    return Edge(effect=effect, half=half)


def stand(a_minor: int, b_minor: int, edge: Edge, *, margin: float, fixed_minor: int = 0) -> Stand:
    """Who is the better buy at two prices; within the band nobody is.

    >>> edge = Edge(effect=0.01413, half=0.0126)
    >>> [stand(price, 1012, edge, margin=0.03).value for price in (998, 1022, 1044)]
    ['a', 'level', 'b']
    >>> stand(1022, 1012, Edge(effect=0.01413, half=0.04), margin=0.03).value
    'open'
    """
    even = break_even(b_minor, effect=edge.effect, half=edge.half, fixed_minor=fixed_minor)
    value = better_value(a_minor, against=even)
    if value is Value.LEVEL and not is_near(a_minor, against=even, margin=margin):
        return Stand.OPEN
    return Stand(value.value)


def grid(
    a_minor: Sequence[int], b_minor: Sequence[int], edge: Edge, *, margin: float, fixed_minor: int = 0
) -> tuple[tuple[Stand, ...], ...]:
    """Who is the better buy at each pair of prices: a row for each of b's, a column for each of a's."""
    return tuple(
        tuple(stand(a, b, edge, margin=margin, fixed_minor=fixed_minor) for a in a_minor) for b in b_minor
    )


def stand_of_all(
    costs: Iterable[tuple[int, int]], edge: Edge, *, margin: float, fixed_minor: int = 0
) -> Stand:
    """Who is the better buy whichever of these pairs of costs holds; open where that hangs on it.

    Unknown where something costs nothing or less, as nothing may be divided by it.
    """
    every = tuple(costs)
    if any(min(pair) + fixed_minor <= 0 for pair in every):
        return Stand.UNKNOWN
    found = {stand(a, b, edge, margin=margin, fixed_minor=fixed_minor) for a, b in every}
    return found.pop() if len(found) == 1 else Stand.OPEN if found else Stand.UNKNOWN


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """Who gives most for the money where so much or more must be bought besides: minor units, not rounded."""

    setup: str
    fixed_from: float


def leads(index: Mapping[str, float], minor: Mapping[str, int]) -> tuple[Lead, ...]:
    """Who gives most for all the money, from nothing besides upward: each is better than the one before.

    index / (price + F); with more to be bought besides, the better machine gains.

    >>> index = {"wren": 1.0, "plover": 1.3058, "dunlin": 1.2874}
    >>> minor = {"wren": 742, "plover": 998, "dunlin": 1012}
    >>> [(each.setup, round(each.fixed_from)) for each in leads(index, minor)]
    [('wren', 0), ('plover', 95)]
    """
    if not index:
        return ()
    now = max(index, key=lambda setup: (index[setup] / minor[setup], index[setup]))
    found = [Lead(setup=now, fixed_from=0.0)]
    while (after := _next(found[-1], index, minor)) is not None:
        found.append(after)
    return tuple(found)


def _next(now: Lead, index: Mapping[str, float], minor: Mapping[str, int]) -> Lead | None:
    """The first that overtakes; of two at the same cost the better one."""
    own = index[now.setup], minor[now.setup]
    alike = {
        setup: fixed_at_which_alike(*own, index_b=index[setup], minor_b=minor[setup])
        for setup in index
        if index[setup] > own[0]
    }
    later = [(fixed, -index[setup], setup) for setup, fixed in alike.items() if fixed is not None]
    if not later:
        return None
    fixed, _, setup = min(later)
    return Lead(setup=setup, fixed_from=max(fixed, now.fixed_from))


def per_thousand(index: float, minor: int, *, thousand: int, fixed_minor: int = 0) -> float:
    """What an index comes to for each thousand paid, `thousand` being so many minor units.

    >>> round(per_thousand(1.3058, 998, thousand=1000), 3)
    1.308
    """
    return index * thousand / (minor + fixed_minor)
