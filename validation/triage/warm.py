"""Warm-up over runs: studies of eight tests on two setups, of which the first run of each may be slower."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence

import numpy as np

from evenhand.records.tests import Direction
from evenhand.triage.warm_up import Timed, TimedCell, warm_up
from validation.triage.scenes import draw_spread
from validation.triage.table import wilson
from validation.triage.tables import Table, percent

TESTS, SETUPS = 8, ("a", "b")
SIZES = (0.0, 0.02, 0.04)


def draw_study(n: int, slower: float, rng: np.random.Generator, *, boots: bool) -> list[TimedCell]:
    """Sixteen cells of n runs whose first is `slower` (ln) than the rest.

    With `boots` every run of a setup is made in a boot of its own, which all tests share; a boot moves them
    all by 0.3 % (sd). Without, all runs belong to one session.
    """
    moved = 0.003 * rng.standard_normal((len(SETUPS), n)) if boots else np.zeros((len(SETUPS), n))
    cells = []
    for test in range(TESTS):
        spread, level = draw_spread(rng), float(rng.uniform(3, 6))
        for place, setup in enumerate(SETUPS):
            logs = level + spread * rng.standard_normal(n) + moved[place]
            logs[0] -= slower
            cells.append(
                TimedCell(
                    test=f"t{test}",
                    setup=setup,
                    direction=Direction.HIGHER,
                    runs=tuple(
                        Timed(value=float(v), boot=f"{setup} {i}" if boots else None, order=i)
                        for i, v in enumerate(np.exp(logs))
                    ),
                )
            )
    return cells


def told(studies: int, n: int, slower: float, seed: int, *, boots: bool) -> int:
    """In how many studies a warm-up is told."""
    own = int.from_bytes(hashlib.sha256(f"warm-up {slower} {boots}".encode()).digest()[:8])
    rng = np.random.default_rng([seed, own, n])
    return sum(warm_up(draw_study(n, slower, rng, boots=boots)) is not None for _ in range(studies))


def warm_up_table(studies: int, ns: Sequence[int], seed: int) -> Table:
    """Studies in which a warm-up is told, of those with none, 2 % and 4 %."""
    return ("first run of every cell", *(f"told n = {n}" for n in ns)), list(_rows(studies, ns, seed))


def _rows(studies: int, ns: Sequence[int], seed: int) -> Iterator[Sequence[str]]:
    for boots in (False, True):
        for slower in SIZES:
            name = f"{100 * slower:.0f} % slower" if slower else "like the rest"
            counts = [told(studies, n, slower, seed, boots=boots) for n in ns]
            shares = [_share(count, studies, digits=0 if slower else 1) for count in counts]
            yield [f"{name}, {'a boot for every run' if boots else 'one session'}", *shares]


def _share(count: int, of: int, *, digits: int) -> str:
    low, high = wilson(count, of)
    return f"{percent(count, of, digits)} ({100 * low:.{digits}f} to {100 * high:.{digits}f})"
