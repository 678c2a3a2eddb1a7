"""How far each run of a cell stands off the others on one number, and by what spread to judge it."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.leave_out import LeftOut, leave_one_out
from evenhand.stats.special_functions import special
from evenhand.stats.spread import Spread, drawn_to
from evenhand.triage.features import Features
from evenhand.triage.learned import Known
from evenhand.triage.limits.levels import LevelLimits
from evenhand.triage.pairs import Pair, pair
from evenhand.triage.spread import lent
from evenhand.triage.view import CellView

Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Standing:
    """Runs against the rest of their cell; arrays of one shape, in logs.

    `gaps`: mean gap; `agreed`: the smallest gap where all siblings lie on one side, else 0, both signed;
    `spread`: the sd they are judged by, on `dfs` degrees of freedom; `p`: two-sided. NaN, 0 and 1 where
    nothing is known of the spread.
    """

    gaps: Floats
    agreed: Floats
    spread: Floats
    dfs: Floats
    p: Floats

    def stands_apart(self, p: float, least_gap: float) -> npt.NDArray[np.bool_]:
        """Which of them all siblings agree on, beyond chance."""
        return (np.abs(self.agreed) >= least_gap) & (self.p < p)


@dataclass(frozen=True, slots=True, kw_only=True)
class Beside:
    """What is known of a cell's spread from outside it.

    `peers`: variance within the cells of the same test on other setups, and its df; `learned`: the same from
    earlier studies; `study`: the common spread of the study's other cells. `least`: the sd in logs that takes
    have at least, because they wander about each other along the scene.
    """

    peers: tuple[float, float]
    learned: Known
    study: Spread | None
    least: float = 0.0


def standing(left: LeftOut, beside: Beside, limits: LevelLimits) -> Standing:
    """Mean gap ÷ √(v(1 + 1/m)) as a t, v from siblings, peers and past runs drawn to the study's spread.

    The guarded moderated rule (`stats.spread`; Smyth 2004); no run is part of the spread that judges it.
    """
    variances, dfs = _with(left.variances, float(left.df), beside.peers)
    variances, dfs = _with_learned(variances, dfs, beside.learned, limits)
    drawn = drawn_to(beside.study, variances.ravel(), dfs.ravel())
    dfs = drawn.dfs.reshape(left.gaps.shape)
    known = dfs > 0
    spread = np.sqrt(drawn.variances.reshape(left.gaps.shape))
    spread = np.where(known, np.maximum(spread, max(limits.least_spread, beside.least)), np.nan)
    t = np.abs(left.gaps) / np.where(known, spread * math.sqrt(1 + 1 / left.rest), np.inf)
    p = np.where(known, 2 * special.stdtr(np.where(known, dfs, 1.0), -t), 1.0)
    return Standing(gaps=left.gaps, agreed=left.nearest, spread=spread, dfs=dfs, p=p)


def _with(variances: Floats, df: float | Floats, more: tuple[float, float]) -> tuple[Floats, Floats]:
    """Variances pooled with one more."""
    dfs = np.broadcast_to(np.asarray(df, float), variances.shape)
    total = dfs + more[1]
    return (dfs * variances + more[0] * more[1]) / np.where(total > 0, total, 1.0), total


def _with_learned(
    variances: Floats, dfs: Floats, learned: Known, limits: LevelLimits
) -> tuple[Floats, Floats]:
    """Variances pooled with what earlier studies know, where both look like the same test."""
    weight = min(learned.weight, limits.most_learned)
    if not weight or not learned.value > 0:
        return variances, dfs
    some = dfs > 0
    ratio = variances / learned.value
    above = special.fdtrc(np.where(some, dfs, 1.0), weight, ratio)
    fits = ~some | ((above > limits.p_changed) & (above < 1 - limits.p_changed))
    pooled, total = _with(variances, dfs, (learned.value, weight))
    return np.where(fits, pooled, variances), np.where(fits, total, dfs)


def beside(cells: Iterable[Floats], view: CellView, *, least: float = 0.0) -> Beside:
    """What is known from outside, given the logs of each other setup's runs and the least spread."""
    common = lent(view.company.study_spread)
    limits, squares, df = view.limits.level, 0.0, 0
    for logs in cells:
        kept = _without_odd(logs, common, limits)
        if kept.size > 1:
            squares += float(np.var(kept)) * kept.size
            df += kept.size - 1
    return Beside(
        peers=(squares / df if df else 0.0, float(df)),
        learned=view.company.learned.spread,
        study=common,
        least=least,
    )


def _without_odd(logs: Floats, common: Spread | None, limits: LevelLimits) -> Floats:
    """Another setup's runs without the one that stands plainly apart: it does not speak for their spread."""
    if logs.size < 3:
        return logs
    alone = Beside(peers=(0.0, 0.0), learned=Known(), study=common)
    told = standing(leave_one_out(logs), alone, limits)
    odd = told.stands_apart(limits.p_odd_peer, limits.least_gap)
    return np.delete(logs, int(np.argmin(told.p))) if odd.any() else logs


def has_level(run: Features) -> bool:
    """Whether a run has a headline number with a logarithm."""
    return run.run.headline is not None and math.isfinite(run.run.headline) and run.run.headline > 0


def headline_logs(runs: Sequence[Features]) -> Floats:
    """Log headline of each run that has one, in order."""
    return np.log([run.run.headline for run in runs if run.run.headline is not None and has_level(run)])


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Along:
    """The levels of runs along their scene.

    `logs`: shape (n,), log rate relative to the mean of all. `wander`: the variances, one a pair, that a
    run's level has because takes differ along the scene, for some seconds at a time.
    """

    logs: Floats
    wander: tuple[float, ...]


def along_scene(runs: Sequence[Features], view: CellView) -> Along | None:
    """The level of each run along the scene.

    From the median gaps of all pairs of takes laid over each other (`pairs`): hitches, a stretch that one
    take lost, and a start at another moment of the scene are out of it. With all pairs known, the least
    squares place of a run is its mean gap to all runs, itself included. None where a pair has too little in
    common, or there are more runs than it pays to compare pair by pair. Worked out once.
    """
    if not 1 < len(runs) <= view.limits.level.most_paired or any(not run.frames for run in runs):
        return None
    everyone = ", ".join(str(id(run)) for run in runs)
    return view.prepared.derived(runs[0], f"along the scene with {everyone}", 0, lambda: _along(runs, view))


def _along(runs: Sequence[Features], view: CellView) -> Along | None:
    slower = np.zeros((len(runs), len(runs)))
    wander = []
    for i, run in enumerate(runs):
        for j in range(i):
            found = pair(run, runs[j], view)
            if found is None:
                return None
            slower[i, j], slower[j, i] = found.level, -found.level
            wander.append(level_variance(found, view.limits.level) / 2)
    return Along(logs=np.asarray(-slower.mean(axis=1)), wander=tuple(wander))


def level_variance(found: Pair, limits: LevelLimits) -> float:
    """The variance of a pair's mean gap, from how the gap wanders along the scene; outliers held.

    The long-run variance over the number of bins, with Bartlett's weights over `wander_s` (Newey and
    West 1987).
    """
    off = (found.apart - found.level).clip(-3 * found.shape, 3 * found.shape)
    reach = max(1, min(off.size // 3, round(limits.wander_s / found.bin_s)))
    products = np.correlate(off, off, "full")[off.size - 1 : off.size - 1 + reach] / off.size
    weights = 2 * (1 - np.arange(reach) / reach)
    weights[0] = 1.0
    return max(float(weights @ products), 0.0) / off.size
