"""Upgrade paths: which parts to change and when; those that no other is cheaper, better and never worse than.

A path begins with the machine that is owned and changes it in a few months. Net cost is what is bought less
what is sold on the way and what the last machine fetches in the end; the index of a machine is the
exponential of its parts' scores, and a path has its mean over the months and its least. Every path of so many
changes is gone through, but for those of which even the best months could not beat what is found already.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import combinations
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from evenhand.money.choosing import Misfits
from evenhand.stats.spread import Floats

ALIKE = 11  # digits of an index after the point: what differs beyond them is the same

Whole: TypeAlias = npt.NDArray[np.int64]
Parts: TypeAlias = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ware:
    """A part on the market: its score, what it uses, and by month what it costs and what it fetches.

    Both in whole minor units, shape (months + 1,): month 0 is today, the last one is when all is sold.
    """

    key: str
    kind: str
    score: float
    costs: Whole
    fetches: Whole
    uses: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ways:
    """What may be done: from the `owned` parts, one of each kind, in how many months, how much at once.

    `changes` is how often parts may be changed at most, `at_once` how many kinds in one month. `cash_minor`
    is there today, `saved_minor` comes with every month; it is never to fall below nothing. `wholes` are
    machines that may be bought as a whole. `barred` are pairs that do not go together, `limits` what may be
    used.
    """

    wares: tuple[Ware, ...]
    owned: Parts
    months: int
    changes: int = 2
    at_once: int = 2
    cash_minor: int = 0
    saved_minor: int = 0
    wholes: tuple[Parts, ...] = ()
    barred: Misfits = frozenset()
    limits: Mapping[str, float] = field(default_factory=dict)


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


def worth_over(now_minor: int, *, months: int, lost_a_month: float) -> Whole:
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
    market = _Market(ways)
    start = market.places(ways.owned)
    front = _Front()
    front.add(_Line(machines=(start,), months=()), market.still(start))
    for changes in range(1, ways.changes + 1):
        dates = np.array(list(combinations(range(1, ways.months), changes)), dtype=np.int64)
        if len(dates):
            for machines in _lines(market, (start,), changes, front):
                market.lay(machines, dates, front)
    return tuple(
        sorted((market.told(line, point) for line, point in front.kept), key=lambda path: path.net_minor)
    )


Machine: TypeAlias = tuple[int, ...]
Point: TypeAlias = tuple[int, float, float]
"""Net cost, sum of the index over the months, least of it."""


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


class _Market:
    """The wares as arrays, machines being the places of their parts, kind by kind."""

    def __init__(self, ways: Ways) -> None:
        self.ways, self._place = ways, {each.key: i for i, each in enumerate(ways.wares)}
        self.scores = np.array([each.score for each in ways.wares])
        self.costs = np.array([each.costs for each in ways.wares])
        self.fetches = np.array([each.fetches for each in ways.wares])
        self.kinds = tuple(ways.wares[self._place[key]].kind for key in ways.owned)
        self._fits = np.ones((len(ways.wares),) * 2, dtype=bool)
        for pair in ways.barred:
            if pair <= self._place.keys():
                i, j = (self._place[key] for key in pair)
                self._fits[i, j] = self._fits[j, i] = False
        self._uses = {name: np.array([w.uses.get(name, 0.0) for w in ways.wares]) for name in ways.limits}
        self._moves = self._every_move()

    def places(self, parts: Parts) -> Machine:
        return tuple(self._place[key] for key in parts)

    def index(self, machines: Whole) -> Floats:
        """The index of machines, shape (M, kinds) → (M,)."""
        made: Floats = np.round(np.exp(self.scores[machines].sum(axis=1)), ALIKE)
        return made

    def still(self, machine: Machine) -> Point:
        """Where nothing is ever changed."""
        own = np.array([machine])
        index = float(self.index(own)[0])
        return -int(self.fetches[own, -1].sum()), round(index * self.ways.months, ALIKE), index

    def _every_move(self) -> list[tuple[tuple[int, ...], Whole]]:
        """For each set of kinds that may change at once, every choice of parts for them."""
        by_kind = [
            np.array([i for i, w in enumerate(self.ways.wares) if w.kind == kind]) for kind in self.kinds
        ]
        found = []
        for many in range(1, self.ways.at_once + 1):
            for columns in combinations(range(len(self.kinds)), many):
                grid = np.meshgrid(*(by_kind[c] for c in columns), indexing="ij")
                found.append((columns, np.stack([each.ravel() for each in grid], axis=1)))
        return found

    def after(self, machine: Machine) -> Whole:
        """Every machine that one change makes of this one, shape (M, kinds): those that go together."""
        own, found = np.array(machine), []
        for columns, choices in self._moves:
            really = (choices != own[list(columns)]).all(axis=1)
            made = np.repeat(own[None], int(really.sum()), axis=0)
            made[:, columns] = choices[really]
            found.append(made)
        wholes = [self.places(each) for each in self.ways.wholes]
        if wholes:
            found.append(np.array([w for w in wholes if w != machine], dtype=np.int64).reshape(-1, len(own)))
        every = np.concatenate(found)
        return every[self._go_together(every)]

    def _go_together(self, machines: Whole) -> npt.NDArray[np.bool_]:
        fine = np.ones(len(machines), dtype=bool)
        for a, b in combinations(range(machines.shape[1]), 2):
            fine &= self._fits[machines[:, a], machines[:, b]]
        for name, limit in self.ways.limits.items():
            fine &= self._uses[name][machines].sum(axis=1) <= limit + 1e-9
        return fine

    def paid(self, before: Whole, after: Whole) -> Whole:
        """What a change costs by month, shapes (kinds,) and (M, kinds) → (M, months + 1)."""
        new = after != before
        bought = np.where(new[..., None], self.costs[after], 0).sum(axis=1)
        sold = np.where(new[..., None], self.fetches[before][None], 0).sum(axis=1)
        made: Whole = bought - sold
        return made

    def lay(self, machines: tuple[Machine, ...], dates: Whole, front: _Front) -> None:
        """Adds the best points of a line of machines over all its dates."""
        own = np.array(machines)
        index = self.index(own)
        spent = np.stack(
            [self.paid(own[n], own[n + 1][None])[0][dates[:, n]] for n in range(len(machines) - 1)], axis=1
        )
        there = self.ways.cash_minor + self.ways.saved_minor * dates - np.cumsum(spent, axis=1)
        able = (there >= 0).all(axis=1)
        edges = np.pad(dates, ((0, 0), (1, 1)))
        edges[:, -1] = self.ways.months
        costs = spent.sum(axis=1) - self.fetches[own[-1], -1].sum()
        sums = np.round((np.diff(edges, axis=1) * index).sum(axis=1), ALIKE)
        least = float(index.min())
        for at in _unbeaten(costs, sums, able):
            line = _Line(machines=machines, months=tuple(dates[at].tolist()))
            front.add(line, (int(costs[at]), float(sums[at]), least))

    def told(self, line: _Line, point: Point) -> Path:
        """A line with names."""
        keys = [tuple(self.ways.wares[i].key for i in machine) for machine in line.machines[1:]]
        changes = tuple(Change(month=m, parts=own) for m, own in zip(line.months, keys, strict=True))
        return Path(changes=changes, net_minor=point[0], mean=point[1] / self.ways.months, least=point[2])


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
    market: _Market, machines: tuple[Machine, ...], changes: int, front: _Front
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
