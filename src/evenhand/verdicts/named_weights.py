"""The weights that an audience named, each able to move while the others keep their proportions."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from evenhand.records.audiences import Property
from evenhand.stats.spread import Floats
from evenhand.verdicts.case import Case
from evenhand.verdicts.moves import Lever, Move
from evenhand.verdicts.reading import LaidPair
from evenhand.verdicts.weights import Laid, lay_shares, named_parts, shares_of_properties, shares_of_tests

K = TypeVar("K", bound=Hashable)
T = TypeVar("T")
Shares = tuple[Mapping[str, float], Mapping[Property, float]]


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedWeight:
    """A weight that the audience named, and the columns of each pair under it alone and without it."""

    name: str
    share: float
    alone: dict[tuple[str, str], Laid]
    without: dict[tuple[str, str], Laid]

    def move(self, shares: Floats, at: int) -> Move:
        """This weight moved to one of these shares."""
        after = float(shares[at])
        return Move(
            lever=Lever.WEIGHT, name=self.name, size=abs(after - self.share), before=self.share, after=after
        )

    def at(self, shares: Floats, pair: LaidPair) -> LaidPair:
        """A pair with this weight at each of the shares, shape (M,)."""
        place = (pair.grounds.a, pair.grounds.b)
        alone, without = self.alone[place], self.without[place]
        s = shares[:, None]
        return LaidPair(
            grounds=pair.grounds,
            weights=s * alone.weights + (1.0 - s) * without.weights,
            price=shares * alone.price + (1.0 - shares) * without.price,
            missing=shares * alone.missing_share + (1.0 - shares) * without.missing_share,
        )


def named_weights(case: Case) -> Iterator[NamedWeight]:
    """The weights that can move: named groups and tests, and properties; of two only the first, being one."""
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    properties, tests = shares_of_properties(case.audience), shares_of_tests(parts)
    for part in _of_several(parts):
        rest = shares_of_tests([other for other in parts if other is not part])
        if part.over and rest:
            yield _named(case, part.name, part.share, [(part.over, properties), (_of_one(rest), properties)])
    for asked, share in _of_several(tuple(properties.items())):
        left = {p: s for p, s in properties.items() if p is not asked and s > 0}
        if left:
            yield _named(case, asked.value, share, [(tests, {asked: 1.0}), (tests, _of_one(left))])


def _of_several(named: Sequence[T]) -> Sequence[T]:
    return named[:1] if len(named) == 2 else named


def _named(case: Case, name: str, share: float, alone_and_without: Sequence[Shares]) -> NamedWeight:
    alone, without = (
        {(p.a, p.b): lay_shares(tests, properties, p, tests=case.tests) for p in case.pairs}
        for tests, properties in alone_and_without
    )
    return NamedWeight(name=name, share=share, alone=alone, without=without)


def _of_one(shares: Mapping[K, float]) -> dict[K, float]:
    total = sum(shares.values())
    return {key: share / total for key, share in shares.items()}
