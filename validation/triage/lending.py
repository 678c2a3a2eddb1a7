"""What the other cells of a study lend to one of them: their spread, some of them with a run that waits."""

from __future__ import annotations

import numpy as np

from evenhand.triage.spread import Spread, cell_spreads, vouching
from validation.triage.scenes import draw_spread

SPOILT = 0.2
"""The share of cells in which one run is not what it should be, and nobody has decided on it yet."""

FREE: frozenset[str] = frozenset()
Told = tuple[float, frozenset[str]]
"""The number of a run, and the kinds that hold it."""


def lent_by(cells: int, n: int, rng: np.random.Generator) -> tuple[Spread, ...]:
    """What so many other cells of n runs each know of spread, by the rule by which any study lends it.

    A cell of one run knows nothing; at least two are drawn, as a cell judged beside it would have.
    """
    drawn = {(str(i), "a"): vouching(_cell(max(2, n), rng)) for i in range(cells)}
    return tuple(cell_spreads(drawn).values())


def _cell(n: int, rng: np.random.Generator) -> list[Told]:
    """The runs of one cell: good ones, or one of them spoilt."""
    logs = draw_spread(rng) * rng.standard_normal(n)
    runs: list[Told] = [(float(number), FREE) for number in np.exp(logs)]
    if rng.random() < SPOILT:
        runs[0] = _spoilt(runs[0][0], rng)
    return runs


def _spoilt(number: float, rng: np.random.Generator) -> Told:
    """A run in another unit, at a limiter, or off in its level alone: that holds it for nothing else."""
    return {
        "unit": (number * 1000, frozenset({"wrong-units"})),
        "cap": (number * float(np.exp(-rng.uniform(0.05, 0.6))), frozenset({"rate-cap"})),
        "level": (number * float(np.exp(rng.choice([-1, 1]) * rng.uniform(0.03, 0.15))), FREE),
    }[str(rng.choice(["unit", "cap", "level"]))]
