"""Upgrade paths: which parts to change and when; those that no other is cheaper, better and never worse than.

A path begins with the machine that is owned and changes it in a few months. Net cost is what is bought less
what is sold on the way and what the last machine fetches in the end; the index of a machine is the
exponential of its parts' scores, and a path has its mean over the months and its least. Every path of so many
changes is gone through, but for those of which even the best months could not beat what is found already.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations

import numpy as np
import numpy.typing as npt

from evenhand.money.market import ALIKE, Machine, Market, Parts, Point, Ways, Whole
from evenhand.stats.spread import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A month in which the machine became another one."""

    month: int
    parts: Parts


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """One path: its changes, its net cost from today on, and the mean and the least of its index."""

    changes: tuple[Change, ...]
    net_minor: int
    mean: float
    least: float


def worth_over(now_minor: float, *, months: int, lost_a_month: float) -> Whole:
    """What something of this worth today is worth by month, V·e^(−k·t), to the whole minor unit, halves up.

    >>> worth_over(400, months=3, lost_a_month=0.05).tolist()
    [400, 380, 362, 344]
    """
    worth: Whole = np.floor(now_minor * np.exp(-lost_a_month * np.arange(months + 1)) + 0.5).astype(np.int64)
    return worth


def best_paths(ways: Ways) -> tuple[Path, ...]:
    """Every path that no other one beats in cost, mean and least at once, the cheapest first.

    Of several that are the same in all three, one. What is owned already costs nothing.
    """
    market = Market(ways)
    start = market.places(ways.owned)
    front = _Front()
    front.add(_Line(machines=(start,), months=()), market.still(start))
    for changes in range(1, ways.changes + 1):
        dates = np.array(list(combinations(range(1, ways.months), changes)), dtype=np.int64)
        if len(dates):
            for machines in _lines(market, (start,), changes, front):
                _lay(market, machines, dates, front)
    return tuple(
        sorted((_told(market, line, point) for line, point in front.kept), key=lambda path: path.net_minor)
    )


@dataclass(frozen=True, slots=True)
class _Line:
    machines: tuple[Machine, ...]
    months: tuple[int, ...]


class _Front:
    """The points that nothing beats so far."""

    def __init__(self) -> None:
        self.kept: list[tuple[_Line, Point]] = []
        self._points: Floats = np.empty((0, 3))

    def beats(self, costs: Floats | Whole, sums: Floats, least: Floats) -> npt.NDArray[np.bool_]:
        """Which of these points something kept is as good as in everything."""
        kept = self._points
        cheaper, better = kept[:, 0, None] <= costs, kept[:, 1, None] >= sums
        return np.asarray((cheaper & better & (kept[:, 2, None] >= least)).any(axis=0), dtype=np.bool_)

    def add(self, line: _Line, point: Point) -> None:
        """Keeps a point that nothing kept is as good as, and lets go of what it beats."""
        cost, whole, least = point
        if self.beats(np.array([cost]), np.array([whole]), np.array([least]))[0]:
            return
        self.kept = [
            each for each in self.kept
            if not (each[1][0] >= cost and each[1][1] <= whole and each[1][2] <= least)
        ]  # fmt: skip
        self.kept.append((line, point))
        self._points = np.array([point for _, point in self.kept])


def _lay(market: Market, machines: tuple[Machine, ...], dates: Whole, front: _Front) -> None:
    """Adds the best points of a line of machines over all its dates."""
    own = np.array(machines)
    index = market.index(own)
    spent = np.stack(
        [market.paid(own[n], own[n + 1][None])[0][dates[:, n]] for n in range(len(machines) - 1)], axis=1
    )
    there = market.ways.cash_minor + market.ways.saved_minor * dates - np.cumsum(spent, axis=1)
    able = (there >= 0).all(axis=1)
    edges = np.pad(dates, ((0, 0), (1, 1)))
    edges[:, -1] = market.ways.months
    costs = spent.sum(axis=1) - market.fetches[own[-1], -1].sum()
    sums = np.round((np.diff(edges, axis=1) * index).sum(axis=1), ALIKE)
    least = float(index.min())
    for at in _unbeaten(costs, sums, able):
        line = _Line(machines=machines, months=tuple(dates[at].tolist()))
        front.add(line, (int(costs[at]), float(sums[at]), least))


def _told(market: Market, line: _Line, point: Point) -> Path:
    """A line with names."""
    keys = [tuple(market.ways.wares[i].key for i in machine) for machine in line.machines[1:]]
    changes = tuple(Change(month=m, parts=own) for m, own in zip(line.months, keys, strict=True))
    return Path(changes=changes, net_minor=point[0], mean=point[1] / market.ways.months, least=point[2])


def _unbeaten(costs: Whole, sums: Floats, able: npt.NDArray[np.bool_]) -> list[int]:
    """The places of points that no cheaper one is as good as, among those that can be paid."""
    order = np.lexsort((-sums, costs))
    found, most = [], -np.inf
    for at in order[able[order]]:
        if sums[at] > most:
            found.append(int(at))
            most = sums[at]
    return found


def _lines(
    market: Market, machines: tuple[Machine, ...], changes: int, front: _Front
) -> Iterator[tuple[Machine, ...]]:
    """Every line of machines with so many changes whose best could still beat what is kept."""
    after = market.after(machines[-1])
    if changes > 1:
        for each in after:
            yield from _lines(market, (*machines, tuple(each.tolist())), changes - 1, front)
        return
    before = np.array(machines)
    spent = sum(
        int(market.paid(before[n], before[n + 1][None])[0][1:-1].min()) for n in range(len(machines) - 1)
    )
    index, own = market.index(after), market.index(before)
    costs = (
        spent + market.paid(before[-1], after)[:, 1:-1].min(axis=1) - market.fetches[after, -1].sum(axis=1)
    )
    most = np.maximum(index, own.max()) * market.ways.months
    beaten = front.beats(costs, most, np.minimum(index, own.min()))
    for each in after[~beaten]:
        yield (*machines, tuple(each.tolist()))
