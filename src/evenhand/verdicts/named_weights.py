"""The weights that an audience named, each able to move while the others keep their proportions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.stats.mixing import Mix
from evenhand.stats.spread import Floats
from evenhand.verdicts.case import Case
from evenhand.verdicts.moves import Lever, Move
from evenhand.verdicts.parts_left import Left, left_without
from evenhand.verdicts.reading import LaidPair, Sums
from evenhand.verdicts.ways import Axes, mixed, mixed_sums
from evenhand.verdicts.weights import named_parts, shares_of_properties


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedWeight:
    """A weight that the audience named: ways of weighing, (2, K·T), by it alone and without it.

    `part` or `asked` is its place among the audience's parts or properties.
    """

    name: str
    share: float
    axes: Axes
    ends: Floats
    part: int | None = None
    asked: int | None = None

    def move(self, shares: Floats, at: int) -> Move:
        """This weight moved to one of these shares."""
        after = float(shares[at])
        return Move(
            lever=Lever.WEIGHT, name=self.name, size=abs(after - self.share), before=self.share, after=after
        )

    def at(self, shares: Floats, pair: LaidPair) -> LaidPair:
        """A pair with this weight at each of the shares, shape (M,)."""
        return mixed(self.axes.lay(pair.grounds, self.ends), beside(shares))

    def sums_at(self, shares: Floats, pairs: Sequence[LaidPair]) -> list[Sums]:
        """Every pair summed up with this weight at each of the shares."""
        mix = Mix(beside(shares))
        return [mixed_sums([self.axes.lay(pair.grounds, self.ends)], mix) for pair in pairs]


def beside(shares: Floats) -> Floats:
    """A weight at each share, and what is left for the others, shape (M, 2)."""
    return np.stack([shares, 1.0 - shares], axis=1)


def named_weights(case: Case) -> Iterator[NamedWeight]:
    """The weights that can move: named groups and tests, and properties; of two only the first, being one."""
    axes = Axes.of(case)
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    yield from movable(case, axes, left_without(parts, axes.tests, np.zeros((1, len(axes.tests)), bool)), 0)


def movable(case: Case, axes: Axes, left: Left, state: int) -> Iterator[NamedWeight]:
    """The weights that can move in one state of what is left of the audience's parts."""
    properties = shares_by(case, axes)
    shares, over, tests = left.shares[state], left.over[state], left.tests[state]
    for i in of_several(np.flatnonzero(left.there[state]).tolist()):
        rest = others_of(shares, i)
        if over[i].any() and rest.any():
            ends = axes.ways(np.stack([over[i], rest @ over]), properties)
            yield NamedWeight(name=left.names[i], share=float(shares[i]), axes=axes, ends=ends, part=i)
    for k in of_several(range(len(properties))):
        rest = others_of(properties, k)
        if rest.any():
            ends = axes.ways(tests, np.stack([np.eye(len(properties))[k], rest]))
            name, share = axes.properties[k].value, float(properties[k])
            yield NamedWeight(name=name, share=share, axes=axes, ends=ends, asked=k)


def shares_by(case: Case, axes: Axes) -> Floats:
    """The share of each property of the axes, shape (K,)."""
    properties = shares_of_properties(case.audience)
    return np.array([properties[asked] for asked in axes.properties])


def of_several(places: Sequence[int]) -> Sequence[int]:
    """All of them; the first of two, since the other moves with it."""
    return places[:1] if len(places) == 2 else places


def others_of(shares: Floats, *left_out: int) -> Floats:
    """The shares without some, as shares of what is left; all 0 where nothing is."""
    rest = shares.copy()
    rest[list(left_out)] = 0.0
    total = rest.sum()
    return np.asarray(rest / total if total > 0 else rest)
