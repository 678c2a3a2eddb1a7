"""What errors that the runs of one boot or session share may weigh in a sum of cells."""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import combinations
from typing import TypeAlias

from evenhand.findings.finding import Caveat, Cell
from evenhand.findings.sessions import boot_caveat, order_caveat

Weights: TypeAlias = Mapping[str, float]
"""By the name of a cell, its weight in a sum of mean logs; cells without one are left out."""


def exposed(cells: Mapping[str, Cell], weights: Weights) -> tuple[float, list[Caveat]]:
    """The weight that errors of boots and sessions have in the sum, and why.

    Cells that took turns share their session, and what that moves cancels as far as their weights do.
    """
    used = {name: w for name, w in weights.items() if w}
    lone = {name: c for name in used if (c := boot_caveat(cells[name]))}
    apart = {(a, b): c for a, b in combinations(used, 2) if (c := order_caveat(cells[a], cells[b]))}
    total, told = 0.0, [*lone.values()]
    for session in _sessions(list(used), apart):
        net = abs(math.fsum(used[name] for name in session))
        alone = math.fsum(abs(used[name]) for name in session if name in lone)
        total += min(net + alone, math.fsum(abs(used[name]) for name in session))
        if net > _DUST:
            told += [c for (a, b), c in apart.items() if (a in session) != (b in session)]
    return (total if total > _DUST else 0.0), list(dict.fromkeys(told))


_DUST = 1e-9  # what rounding leaves of weights that cancel


def _sessions(names: list[str], apart: Mapping[tuple[str, str], Caveat]) -> list[set[str]]:
    """The cells in groups that hang together by having taken turns."""
    groups = [{name} for name in names]
    for a, b in combinations(names, 2):
        if (a, b) not in apart:
            joined = [g for g in groups if a in g or b in g]
            groups = [g for g in groups if g not in joined] + [set().union(*joined)]
    return groups
