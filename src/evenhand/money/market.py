"""The wares of a market as arrays: which machines one change makes of another, and what it costs by month."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import combinations
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from evenhand.money.shelves import Misfits
from evenhand.stats.spread import Floats

ALIKE = 11  # digits of an index after the point: what differs beyond them is the same

AT_FIRST = -1  # of a part that was there before any change

Whole: TypeAlias = npt.NDArray[np.int64]
Parts: TypeAlias = tuple[str, ...]
Machine: TypeAlias = tuple[int, ...]
Point: TypeAlias = tuple[int, float, float]
"""Net cost, sum of the index over the months, least of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ware:
    """A part on the market: its score, what it uses, what it costs by month, and what it fetches.

    In whole minor units: `costs` of shape (months + 1,), month 0 being today and the last one when all is
    sold; `fetches` of shape (months + 1, months + 1), by the month of buying and that of selling. What is
    owned at the beginning counts as bought today.
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
    machines that may be bought as a whole, `fixed` the kinds that only change with a whole one. `barred` are
    pairs that do not go together, `cuts` any number of parts that do not, `limits` what may be used.
    """

    wares: tuple[Ware, ...]
    owned: Parts
    months: int
    changes: int = 2
    at_once: int = 2
    cash_minor: int = 0
    saved_minor: int = 0
    wholes: tuple[Parts, ...] = ()
    fixed: frozenset[str] = frozenset()
    barred: Misfits = frozenset()
    cuts: tuple[Parts, ...] = ()
    limits: Mapping[str, float] = field(default_factory=dict)


class Market:
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
        """The machine that these parts make."""
        return tuple(self._place[key] for key in parts)

    def index(self, machines: Whole) -> Floats:
        """The index of machines, shape (M, kinds) → (M,)."""
        made: Floats = np.round(np.exp(self.scores[machines].sum(axis=1)), ALIKE)
        return made

    def still(self, machine: Machine) -> Point:
        """Where nothing is ever changed."""
        own = np.array([machine])
        index = float(self.index(own)[0])
        return -int(self.fetches[own, 0, -1].sum()), round(index * self.ways.months, ALIKE), index

    def _every_move(self) -> list[tuple[tuple[int, ...], Whole]]:
        """For each set of kinds that may change at once, every choice of parts for them."""
        by_kind = [
            np.array([i for i, w in enumerate(self.ways.wares) if w.kind == kind]) for kind in self.kinds
        ]
        found, free = [], [c for c, kind in enumerate(self.kinds) if kind not in self.ways.fixed]
        for many in range(1, self.ways.at_once + 1):
            for columns in combinations(free, many):
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
        for cut in self.ways.cuts:
            if set(cut) <= self._place.keys():
                fine &= ~np.all([(machines == self._place[key]).any(axis=1) for key in cut], axis=0)
        for name, limit in self.ways.limits.items():
            fine &= self._uses[name][machines].sum(axis=1) <= limit + 1e-9
        return fine
