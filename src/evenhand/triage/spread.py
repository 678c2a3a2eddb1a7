"""What a study knows of run-to-run spread: one variance a cell, worked out once for all who ask."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from statistics import fmean, median, stdev, variance
from typing import TypeAlias

from evenhand.stats.special_functions import special
from evenhand.stats.spread import Spread as Lent
from evenhand.stats.spread import learn_spread
from evenhand.triage.limits.levels import LevelLimits
from evenhand.triage.thresholds import DEFAULT

Cell: TypeAlias = tuple[str, str]
Spread: TypeAlias = tuple[float, float]

_VARIANCE_STEP, _DF_STEP = math.log(1.25), math.log(1.5)


def vouching(runs: Sequence[tuple[float, frozenset[str]]]) -> list[float]:
    """The numbers of a cell that can vouch for its spread, of runs told as (number, kinds that hold it).

    Those that nothing holds; where that leaves fewer than two, the largest group held for the same: five runs
    in a warm room still scatter as such runs do. A number on its own says nothing of spread.

    >>> free, capped = frozenset(), frozenset({"rate-cap"})
    >>> vouching([(100.0, free), (60.0, capped), (101.0, free)]), vouching([(100.0, free), (60.0, capped)])
    ([100.0, 101.0], [])
    """
    groups = [[number for number, held in runs if held == kinds] for kinds in {held for _, held in runs}]
    free = [number for number, held in runs if not held]
    chosen = free if len(free) > 1 else max(groups, key=len, default=[])
    return chosen if len(chosen) > 1 else []


def cell_spreads(
    headlines: Mapping[Cell, Iterable[float]], limits: LevelLimits = DEFAULT.level
) -> dict[Cell, Spread]:
    """Sample variance of the log headline and its degrees of freedom, by cell (test, setup).

    Numbers at or below zero have no logarithm and are left out, and so is one that lies far off all others;
    a cell with fewer than two others knows nothing of spread and is not among the answers.

    >>> cell_spreads({("render", "wren"): [1.0, 1.0], ("render", "plover"): [12.0]})
    {('render', 'wren'): (0.0, 1.0)}
    """
    found = {cell: _spread(tuple(own), limits) for cell, own in headlines.items()}
    return {cell: spread for cell, spread in found.items() if spread is not None}


@lru_cache(maxsize=4096)  # each run that comes in changes one cell of its study and leaves all others
def _spread(headlines: tuple[float, ...], limits: LevelLimits) -> Spread | None:
    logs = _without_far_off([math.log(value) for value in headlines if value > 0], limits)
    return (variance(logs), float(len(logs) - 1)) if len(logs) > 1 else None


def _without_far_off(logs: list[float], limits: LevelLimits) -> list[float]:
    """The log numbers without the one that lies far off the rest, where the rest agree.

    One number in another unit would otherwise make every other cell of the study blind to a level.
    """
    far = far_off(logs, limits)
    rest = list(logs)
    if far is not None:
        rest.remove(far)
    return rest


def far_off(logs: Sequence[float], limits: LevelLimits = DEFAULT.level) -> float | None:
    """The log number that lies far off the rest of its cell, where the rest agree; None where none does.

    >>> far_off([0.0, 0.01, -0.01, 0.5]), far_off([0.0, 0.01, -0.01, 0.02])
    (0.5, None)
    """
    if len(logs) < 3:
        return None
    middle = median(logs)
    far = max(logs, key=lambda value: abs(value - middle))
    rest = list(logs)
    rest.remove(far)
    spread = max(stdev(rest), limits.far_off_spread) * math.sqrt(1 + 1 / len(rest))
    return far if abs(far - fmean(rest)) > limits.far_off_spreads * spread else None


def of_others(spreads: Mapping[Cell, Spread], *, but: Cell) -> tuple[Spread, ...]:
    """The spreads of all other cells: what a cell borrows from its study.

    >>> of_others({("render", "wren"): (2.0, 1.0), ("render", "plover"): (3.0, 4.0)}, but=("render", "wren"))
    ((3.0, 4.0),)
    """
    return tuple(spread for cell, spread in spreads.items() if cell != but)


def lent(others: Sequence[Spread], limits: LevelLimits = DEFAULT.level) -> Lent | None:
    """What the other cells of a study lend to one of them; None where they know nothing.

    Two runs that lie further apart than the cells of three and more make likely lend nothing: nobody can say
    whether their test scatters so or one of them is odd.

    Variance and degrees of freedom are rounded to steps of a quarter and a half, which moves a spread by at
    most 6 %. What a cell is lent then seldom changes with a run of another test: in studies of nine tests,
    three setups and five runs one decision changes it for one cell in seven, and only those are judged again.

    >>> told = lent([(1e-4, 4.0), (2e-4, 4.0), (0.5e-4, 4.0), (1.2e-4, 4.0)])
    >>> told is not None and (round(told.variance, 6), round(told.df, 1))
    (0.000106, 3.4)
    """
    teachers = _without_odd_pairs(others, limits)
    common = learn_spread(*zip(*teachers, strict=True), for_new_test=True) if teachers else None
    if common is None:
        return None
    variance, df = _stepped(common.variance, _VARIANCE_STEP), _stepped(common.df, _DF_STEP)
    return replace(common, variance=variance, df=df)


def _without_odd_pairs(others: Sequence[Spread], limits: LevelLimits) -> Sequence[Spread]:
    """The cells without those of two runs that larger cells speak against, where there are enough of them."""
    larger = [cell for cell in others if cell[1] > 1]
    if len(larger) < limits.fewest_teachers:
        return others
    common = learn_spread(*zip(*larger, strict=True), for_new_test=True)
    if common is None:
        return others
    return [
        cell
        for cell in others
        if cell[1] > 1
        or special.fdtrc(cell[1], common.df, cell[0] / common.variance) >= limits.p_pair_teaches
    ]


def _stepped(value: float, step: float) -> float:
    """The nearest power of a step given by its logarithm."""
    return math.exp(step * round(math.log(value) / step))
