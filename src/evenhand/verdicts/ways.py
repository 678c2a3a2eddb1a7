"""Ways of weighing as rows of numbers, so that thousands of them are laid upon a pair in one product."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

import numpy as np

from evenhand.records.audiences import Property
from evenhand.records.tests import Measures
from evenhand.stats.mixing import Mix
from evenhand.stats.spread import Floats
from evenhand.verdicts.case import Case
from evenhand.verdicts.grounds import PairGrounds
from evenhand.verdicts.reading import LaidPair, Sums, sum_up
from evenhand.verdicts.standing import sum_mixed


@dataclass(frozen=True, slots=True, kw_only=True)
class Axes:
    """What the numbers of a way are of: each property's share in each test, property by property.

    A way has K·T of them, which sum to 1. `scored` are tests without frames, whose lows are their speed.
    """

    tests: tuple[str, ...]
    properties: tuple[Property, ...]
    scored: frozenset[str]

    @classmethod
    def of(cls, case: Case) -> Axes:
        """All tests of the study and all properties that the audience names."""
        return cls(
            tests=tuple(test.key for test in case.tests if test.key in case.study.tests),
            properties=tuple(case.audience.properties),
            scored=frozenset(test.key for test in case.tests if test.measures is Measures.SCORE),
        )

    def ways(self, tests: Floats, properties: Floats) -> Floats:
        """Shares of tests, (M, T) or (T,), and of properties, (M, K) or (K,), as ways, (M, K·T)."""
        crossed = properties[..., :, None] * tests[..., None, :]
        return np.asarray(crossed.reshape(-1, len(self.properties) * len(self.tests)))

    def lay(self, grounds: PairGrounds, ways: Floats) -> LaidPair:
        """Ways, (M, K·T), laid upon a pair, as `weights.lay_shares` lays one."""
        laid, columns = ways @ self._places(grounds), len(grounds.grounds)
        return LaidPair(
            grounds=grounds, weights=laid[:, :columns], price=laid[:, columns], missing=laid[:, columns + 1]
        )

    def _places(self, grounds: PairGrounds) -> Floats:
        """Where each number of a way goes, (K·T, C + 2): to a column, to the price, or to what is missing."""
        return _places_in(self, grounds.places)

    def place(self, asked: Property, test: str) -> tuple[Property, str]:
        """Of which property and test a share must have its number: noise is of the whole machine."""
        if asked is Property.NOISE:
            return asked, ""
        return (Property.SPEED if asked is Property.LOWS and test in self.scored else asked), test


@lru_cache(maxsize=256)  # the same few grounds are laid for every state and every change
def _places_in(axes: Axes, columns: tuple[tuple[Property, str], ...]) -> Floats:
    at = {column: i for i, column in enumerate(columns)}
    found = np.zeros((len(axes.properties) * len(axes.tests), len(columns) + 2))
    for row, (asked, test) in enumerate(product(axes.properties, axes.tests)):
        if asked is Property.PRICE:
            found[row, len(columns)] = 1.0
        else:
            found[row, at.get(axes.place(asked, test), len(columns) + 1)] = 1.0
    found.flags.writeable = False
    return found


def mixed_sums(parts: Sequence[LaidPair], mix: Mix) -> Sums:
    """The sums of the mixtures between each part's ends, as `sum_up` of `mixed` has them and far sooner."""
    merit = sum_mixed([(part.grounds, part.weights) for part in parts], mix)
    if merit is None:
        return sum_up([mixed(part, mix.of) for part in parts])
    price = mix.between(np.concatenate([part.price for part in parts]))
    weights = mix.between(np.concatenate([part.weights.sum(axis=1) for part in parts]))
    return Sums(
        a=parts[0].grounds.a, b=parts[0].grounds.b, merit=merit,
        missing=mix.between(np.concatenate([part.missing for part in parts])),
        price_share=price / (weights + price),
    )  # fmt: skip


def mixed(ends: LaidPair, mix: Floats) -> LaidPair:
    """States between ends: of every K states in turn, S mixtures, `mix` (S, K) saying how much of each."""
    ways, parts = mix.shape

    def between(sides: Floats) -> Floats:
        return np.asarray(mix @ sides.reshape(-1, parts, sides.size // len(ends.price)))

    many = len(ends.price) // parts * ways
    return LaidPair(
        grounds=ends.grounds, weights=between(ends.weights).reshape(many, -1),
        price=between(ends.price).reshape(many), missing=between(ends.missing).reshape(many),
    )  # fmt: skip
