"""How a fault is put into a cell: into its first run, or into all of them alike."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from evenhand.triage.candidate import Candidate
from validation.triage.scenes import Floats, Scene

Cell = tuple[Candidate, ...]
Rng = np.random.Generator
Spoil = Callable[[Scene, Cell, Rng], Cell]
Single = Callable[[Candidate, Scene, Rng], Candidate]


def swing(course: Floats) -> float:
    """How far a course moves, sd in logs."""
    return float(np.std(course))


def first(change: Single) -> Spoil:
    """Spoil the first run."""
    return lambda scene, cell, rng: (change(cell[0], scene, rng), *cell[1:])


def first_two(change: Single) -> Spoil:
    """Spoil the first two runs, each in its own way."""
    return lambda scene, cell, rng: (*(change(run, scene, rng) for run in cell[:2]), *cell[2:])


def every(change: Single) -> Spoil:
    """Spoil every run alike; what is drawn is drawn once."""

    def spoil(scene: Scene, cell: Cell, rng: Rng) -> Cell:
        seed = int(rng.integers(2**32))
        return tuple(change(run, scene, np.random.default_rng(seed)) for run in cell)

    return spoil
