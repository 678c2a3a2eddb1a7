"""What a study knows of run-to-run spread: one variance a cell, worked out once for all who ask."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from statistics import variance
from typing import TypeAlias

Cell: TypeAlias = tuple[str, str]
Spread: TypeAlias = tuple[float, float]


def cell_spreads(headlines: Mapping[Cell, Iterable[float]]) -> dict[Cell, Spread]:
    """Sample variance of the log headline and its degrees of freedom, by cell (test, setup).

    Numbers at or below zero have no logarithm and are left out; a cell with fewer than two others knows
    nothing of spread and is not among the answers.

    >>> cell_spreads({("render", "wren"): [1.0, 1.0], ("render", "plover"): [12.0]})
    {('render', 'wren'): (0.0, 1.0)}
    """
    logs = {cell: [math.log(value) for value in own if value > 0] for cell, own in headlines.items()}
    return {cell: (variance(own), float(len(own) - 1)) for cell, own in logs.items() if len(own) > 1}


def of_others(spreads: Mapping[Cell, Spread], *, but: Cell) -> tuple[Spread, ...]:
    """The spreads of all other cells: what a cell borrows from its study.

    >>> of_others({("render", "wren"): (2.0, 1.0), ("render", "plover"): (3.0, 4.0)}, but=("render", "wren"))
    ((3.0, 4.0),)
    """
    return tuple(spread for cell, spread in spreads.items() if cell != but)
