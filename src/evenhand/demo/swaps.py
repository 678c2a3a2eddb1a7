"""The graphics swap of Saltmarsh: Plover and Dunlin with each other's card, in two tests, on one day.

Each run is drawn from a stream of its own, so that every other file stays what it is without the swap.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta

import numpy as np

from evenhand.demo.effects import run_effects
from evenhand.demo.schedule import GAME_MINUTES, Slot, Visit, placed
from evenhand.demo.truth import GAMES, SWAPPED

SWAP_DAY = datetime(2026, 11, 24, 9, 10, tzinfo=UTC)
BLOCKS = 5
SWAP_STREAM = 7
"""Beside the seed: one of the streams in which no run of the swap stands out by chance alone."""

TESTS = tuple(game.key for game in GAMES if game.key in next(iter(SWAPPED)).rates)


def swap_stream(seed: int) -> np.random.Generator:
    """Draws for the swap alone."""
    return np.random.default_rng([seed, SWAP_STREAM])


def swap_slots(first: int, rng: np.random.Generator) -> tuple[Slot, ...]:
    """Every run of the swap, the first in place `first`: five blocks of a day, in turns forwards and back."""
    starts = tuple(SWAP_DAY + block * timedelta(minutes=60) for block in range(BLOCKS))
    return tuple(placed(list(_visits()), rng, starts=starts, first=first))


def _visits() -> Iterator[Visit]:
    machines = [swap.machine.key for swap in SWAPPED]
    for block in range(BLOCKS):
        for test in TESTS:
            for machine in machines if block % 2 == 0 else reversed(machines):
                yield Visit(test=test, machine=machine, block=block, minutes=float(GAME_MINUTES))


def swap_effects(rng: np.random.Generator) -> Mapping[str, Mapping[tuple[int, str], float]]:
    """Log effects of the swap's runs by machine, then by block and test; each test's add up to nothing."""
    found = {}
    for swap in SWAPPED:
        effects = run_effects(np.ones((BLOCKS, len(TESTS)), dtype=np.bool_), (), rng)
        found[swap.machine.key] = {
            (block, test): float(effects[block, at])
            for block in range(BLOCKS)
            for at, test in enumerate(TESTS)
        }
    return found
