"""What is left of an audience's parts without some titles, in many states at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.stats.spread import Flags, Floats
from evenhand.verdicts.weights import Part


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """An audience's P parts in N states: `shares` (N, P) sum to 1, or to 0 where nothing is left.

    `over` (N, P, T) shares each part out over its tests; `there` (N, P) are the parts still named.
    """

    names: tuple[str, ...]
    shares: Floats
    over: Floats
    there: Flags

    @property
    def tests(self) -> Floats:
        """The share of each test, shape (N, T)."""
        return np.asarray(np.einsum("np,npt->nt", self.shares, self.over))

    def only(self, places: Sequence[int]) -> Left:
        """Some of the states."""
        at = list(places)
        return Left(names=self.names, shares=self.shares[at], over=self.over[at], there=self.there[at])


def left_without(parts: Sequence[Part], tests: Sequence[str], gone: Flags) -> Left:
    """The parts without the titles that are `gone`, (N, T): a part keeps its share while it has a test.

    >>> play = Part(name="play", share=0.8, over={"x": 0.5, "y": 0.5})
    >>> parts = [play, Part(name="work", share=0.2, over={"z": 1.0})]
    >>> left = left_without(parts, ["x", "y", "z"], np.array([[1, 0, 0], [0, 0, 1], [1, 1, 1]], bool))
    >>> left.tests.round(9).tolist()
    [[0.0, 0.8, 0.2], [0.5, 0.5, 0.0], [0.0, 0.0, 0.0]]
    """
    before = np.array([[part.over.get(test, 0.0) for test in tests] for part in parts])
    over = before[None] * ~gone[:, None, :]
    total = over.sum(axis=2)
    alive = total > 0
    shares = np.array([part.share for part in parts]) * alive
    whole = shares.sum(axis=1, keepdims=True)
    return Left(
        names=tuple(part.name for part in parts),
        shares=shares / np.where(whole > 0, whole, 1.0),
        over=over / np.where(alive, total, 1.0)[:, :, None],
        there=alive | (before.sum(axis=1) == 0),
    )
