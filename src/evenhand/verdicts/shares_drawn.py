"""Weights drawn around an audience's, drawn once: whatever was measured, the same audience has the same."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

import numpy as np

from evenhand.stats.spread import Floats


def drawn_shares(mean: tuple[float, ...], rng: np.random.Generator, draws: int) -> Floats:
    """`rng.dirichlet` of these parameters, shape (draws, parts), not to be written to.

    The generator is left as the draw leaves it, whether it was made now or is known from before.
    """
    before = rng.bit_generator.state
    shares, after = _drawn(_Begun(before), mean, draws)
    rng.bit_generator.state = after
    return shares


class _Begun:
    """Where a generator stands, as a key."""

    __slots__ = ("said", "state")

    def __init__(self, state: Mapping[str, Any]) -> None:
        self.state, self.said = state, repr(state)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Begun) and self.said == other.said

    def __hash__(self) -> int:
        return hash(self.said)


@lru_cache(maxsize=16)  # of 4,000 draws and 25 parts each takes 0.8 MB
def _drawn(begun: _Begun, mean: tuple[float, ...], draws: int) -> tuple[Floats, Mapping[str, Any]]:
    rng = np.random.Generator(_generator(begun.state))
    shares = rng.dirichlet(mean, size=draws)
    shares.flags.writeable = False
    return shares, rng.bit_generator.state


def _generator(state: Mapping[str, Any]) -> np.random.BitGenerator:
    """A bit generator of the kind that the state is of, standing there."""
    made: np.random.BitGenerator = getattr(np.random, str(state["bit_generator"]))()
    made.state = state
    return made
