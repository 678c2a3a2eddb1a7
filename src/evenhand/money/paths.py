"""Upgrade paths: which parts to change and when; those that no other is cheaper, better and never worse than.

A path begins with the machine that is owned and changes it in a few months. Net cost is what is bought less
what is sold on the way and what the last machine fetches in the end; the index of a machine is the
exponential of its parts' scores, and a path has its mean over the months and its least. Every path of so many
changes is gone through, but for those of which even the best months could not beat what is found already.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import combinations
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from evenhand.money.market import ALIKE, AT_FIRST, Machine, Market, Parts, Point, Ways, Whole
from evenhand.money.path_bounds import PathBounds, affordable
from evenhand.stats.spread import Floats

Heed: TypeAlias = Callable[[float], None]


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


def kept_worth(costs: Whole, *, share: float, lost_a_month: float) -> Whole:
    """What a part fetches by the months of buying and selling, shape (M,) → (M, M), M being months + 1.

    The share of what it cost, less what it has lost since, cost·share·e^(−k·t), to the whole minor unit,
    halves up; 0 where it would be sold before it is bought.

    >>> kept_worth(np.array([400, 400, 400]), share=0.5, lost_a_month=0.1).tolist()
    [[200, 181, 164], [0, 200, 181], [0, 0, 200]]
    """
    month = np.arange(len(costs))
    owned = month[None, :] - month[:, None]
    worth = np.floor(costs[:, None] * share * np.exp(-lost_a_month * np.maximum(owned, 0)) + 0.5)
    fetched: Whole = np.where(owned >= 0, worth, 0).astype(np.int64)
    return fetched


def best_paths(ways: Ways, *, heed: Heed = lambda _: None) -> tuple[Path, ...]:
    """Every path that no other one beats in cost, mean and least at once, the cheapest first.

    Of several that are the same in all three, one. What is owned already costs nothing. `heed` is told now
    and then which share of all lines has been gone through, and may raise to end it.
    """
    market = Market(ways)
    bounds = PathBounds(market)
    start = market.places(ways.owned)
    front = _Front()
    front.add(_Line(machines=(start,), months=()), market.still(start))
    for changes in range(1, ways.changes + 1):
        dates = _Dates.of(changes, ways.months)
        if len(dates.at):
            told = heed if changes == ways.changes else None
            for machines in _lines(bounds, (start,), changes, front, told):
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


@dataclass(frozen=True, slots=True)
class _Dates:
    """Every choice of months for so many changes, shape (D, changes), and how long each machine is there."""

    at: Whole
    spans: Whole
    months: int

    @classmethod
    def of(cls, changes: int, months: int) -> _Dates:
        at = np.array(list(combinations(range(1, months), changes)), dtype=np.int64).reshape(-1, changes)
        ends = np.full((len(at), 1), months)
        return cls(at=at, spans=np.diff(np.concatenate([0 * ends, at, ends], axis=1)), months=months)


def _lay(market: Market, machines: tuple[Machine, ...], dates: _Dates, front: _Front) -> None:
    """Adds the best points of a line of machines over all its dates."""
    own, there = np.array(machines), np.full(len(dates.at), market.ways.cash_minor)
    index, since = market.index(own), np.full(own.shape[1], AT_FIRST)
    able, costs = np.ones(len(there), dtype=bool), np.zeros(len(there), dtype=np.int64)
    for n in range(len(machines) - 1):
        new, month = own[n + 1] != own[n], dates.at[:, n]
        costs += market.costs[own[n + 1][new]][:, month].sum(axis=0)
        costs -= _fetched(market, own[n][new], since[new], dates.at, month)
        able &= there + market.ways.saved_minor * month >= costs
        since[new] = n
    costs -= _fetched(market, own[-1], since, dates.at, dates.months)
    sums = np.round(dates.spans @ index, ALIKE)
    least, at = float(index.min()), _unbeaten(costs, sums, able)
    for best in at[~front.beats(costs[at], sums[at], np.full(len(at), least))]:
        line = _Line(machines=machines, months=tuple(dates.at[best].tolist()))
        front.add(line, (int(costs[best]), float(sums[best]), least))


def _fetched(market: Market, parts: Whole, since: Whole, dates: Whole, sold: Whole | int) -> Whole:
    """What these parts fetch that were put in at these changes, by dates: (kinds,), (D, changes) → (D,)."""
    fetched = np.zeros(len(dates), dtype=np.int64)
    for part, change in zip(parts, since, strict=True):
        bought = dates[:, change] if change != AT_FIRST else 0
        fetched += market.fetches[part, bought, sold]
    return fetched


def _told(market: Market, line: _Line, point: Point) -> Path:
    """A line with names."""
    keys = [tuple(market.ways.wares[i].key for i in machine) for machine in line.machines[1:]]
    changes = tuple(Change(month=m, parts=own) for m, own in zip(line.months, keys, strict=True))
    return Path(changes=changes, net_minor=point[0], mean=point[1] / market.ways.months, least=point[2])


def _unbeaten(costs: Whole, sums: Floats, able: npt.NDArray[np.bool_]) -> Whole:
    """The places of points that no cheaper one is as good as, among those that can be paid."""
    order = np.flatnonzero(able)
    order = order[np.lexsort((-sums[order], costs[order]))]
    most = np.maximum.accumulate(sums[order])
    found: Whole = order[sums[order] > np.concatenate([[-np.inf], most[:-1]])]
    return found


def _lines(
    bounds: PathBounds, machines: tuple[Machine, ...], changes: int, front: _Front, heed: Heed | None = None
) -> Iterator[tuple[Machine, ...]]:
    """Every line of machines with so many changes whose best could still beat what is kept."""
    market = bounds.market
    after = market.after(machines[-1])
    if changes > 1:
        for at, each in enumerate(after):
            if heed is not None:
                heed(at / len(after))
            yield from _lines(bounds, (*machines, tuple(each.tolist())), changes - 1, front)
        return
    before, months = np.array(machines), market.ways.months
    index, own = market.index(after), market.index(before)
    spent, costs = (each[:, 1:months] for each in bounds.last_change(before, after))
    months_before = np.arange(1, months)
    sums = own.max() * months_before + index[:, None] * (months - months_before)
    least = np.broadcast_to(np.minimum(index, own.min())[:, None], sums.shape)
    able = affordable(market, spent, from_month=1)
    able[able] = ~front.beats(costs[able], sums[able], least[able])
    for each in after[able.any(axis=1)]:
        yield (*machines, tuple(each.tolist()))
