"""Two runs laid over each other: where along the scene the one is slower than the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from evenhand.triage.curves import Curve, Floats, curve
from evenhand.triage.features import Features, robust_spread
from evenhand.triage.limits.course import CurveLimits
from evenhand.triage.view import CellView


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pair:
    """One run against another along the scene, in logs of frame time: positive where `run` is slower.

    `at_s`, `apart`: shape (b,), the bins in which both are known, in time of `run`, and by how much they
    differ there. `lag_s` is how much later `run` is in the scene than `other`; `gain` how much nearer that
    shift brings them (0 without a shift). `level` is the median of `apart`, `shape` its robust sd, and
    `agreement` the correlation of the two courses over these bins.
    """

    run: Features
    other: Features
    bin_s: float
    lag_s: float
    gain: float
    at_s: Floats
    apart: Floats
    level: float
    shape: float
    agreement: float

    @property
    def turned(self) -> Pair:
        """The same pair seen from the other run."""
        return replace(
            self,
            run=self.other,
            other=self.run,
            lag_s=-self.lag_s,
            at_s=self.at_s - self.lag_s,
            apart=-self.apart,
            level=-self.level,
        )


def pair(run: Features, other: Features, view: CellView) -> Pair | None:
    """Lay one run over another; None where they have too little in common. Worked out once a pair."""
    if run.id > other.id:
        turned = pair(other, run, view)
        return turned.turned if turned is not None else None
    bin_s = bin_of([run, other], view.limits.curve)
    name = f"pair with {id(other)}"
    return view.prepared.derived(run, name, round(1000 * bin_s), lambda: _lay(run, other, bin_s, view))


def pairs_of(run: Features, view: CellView) -> list[Pair]:
    """This run against each of its siblings."""
    found = (pair(run, sibling, view) for sibling in view.siblings(run.id))
    return [p for p in found if p is not None]


def null_pairs(run: Features, view: CellView) -> list[Pair]:
    """The siblings of a run against each other: how much two takes differ of themselves."""
    return list(_within(view.siblings(run.id), view))


def peer_pairs(view: CellView) -> list[Pair]:
    """The runs of other setups, each cell against itself: the same, seen on other machines."""
    return [p for peer in view.peers for p in _within(peer, view)]


def _within(runs: Sequence[Features], view: CellView) -> Iterator[Pair]:
    found = (pair(a, b, view) for a, b in combinations(runs, 2))
    return (p for p in found if p is not None)


def agreed(values: Sequence[float]) -> float:
    """The smallest of these in size where all have one sign, else 0: what every sibling says.

    >>> agreed([0.03, 0.02, 0.05]), agreed([-0.03, 0.02]), agreed([])
    (0.02, 0.0, 0.0)
    """
    if not values:
        return 0.0
    one_side = min(values) > 0 or max(values) < 0
    return min(values, key=abs) if one_side else 0.0


def bin_of(runs: Sequence[Features], limits: CurveLimits) -> float:
    """The width of bins in which these runs can be compared, s."""
    slow = any(run.median_ms > limits.slow_above_ms for run in runs)
    return limits.slow_bin_s if slow else limits.bin_s


def curve_of(run: Features, bin_s: float, view: CellView) -> Curve:
    """The course of a run in bins of this width; worked out once."""
    limits = view.limits.curve
    return view.prepared.derived(
        run,
        "curve",
        round(1000 * bin_s),
        lambda: curve(run.log_ms, run.begins_s, run.calm, bin_s=bin_s, least_calm=limits.least_calm),
    )


def _lay(run: Features, other: Features, bin_s: float, view: CellView) -> Pair | None:
    limits = view.limits.curve
    mine, theirs = (curve_of(r, bin_s, view).log_ms for r in (run, other))
    if min(mine.size, theirs.size) < limits.fewest_bins:
        return None
    lag, gain = _lag(mine, theirs, bin_s, limits)
    at, a, b = _overlap(mine, theirs, lag)
    if at.size < limits.fewest_bins:
        return None
    apart = a - b
    return Pair(
        run=run,
        other=other,
        bin_s=bin_s,
        lag_s=lag * bin_s,
        gain=gain,
        at_s=at * bin_s,
        apart=apart,
        level=float(np.median(apart)),
        shape=robust_spread(apart),
        agreement=_correlation(a, b),
    )


def _overlap(mine: Floats, theirs: Floats, lag: int) -> tuple[Floats, Floats, Floats]:
    """Bins of `mine` in which both courses are known, with both, where bin k of mine is k − lag of theirs."""
    start, end = max(0, lag), min(mine.size, theirs.size + lag)
    a, b = mine[start:end], theirs[start - lag : end - lag]
    known = np.isfinite(a) & np.isfinite(b)
    return (start + np.flatnonzero(known)).astype(float), a[known], b[known]


def _lag(mine: Floats, theirs: Floats, bin_s: float, limits: CurveLimits) -> tuple[int, float]:
    """The shift in bins that brings two courses nearest, and by what share; 0, 0 unless it is worth it."""
    shorter = min(mine.size, theirs.size)
    most = int(min(limits.most_lag_s / bin_s, limits.most_lag_share * shorter))
    far = {lag: _distance(mine, theirs, lag, limits) for lag in range(-most, most + 1)}
    best = min(far, key=lambda lag: (far[lag], abs(lag)))
    gain = 1 - far[best] / far[0] if far[0] > 0 else 0.0
    return (best, gain) if best and gain >= limits.lag_gain else (0, 0.0)


def _distance(mine: Floats, theirs: Floats, lag: int, limits: CurveLimits) -> float:
    """Mean distance of two courses under a shift, each bin's held to a largest one."""
    _, a, b = _overlap(mine, theirs, lag)
    if a.size < limits.fewest_bins:
        return np.inf
    apart = a - b
    return float(np.minimum(np.abs(apart - np.median(apart)), limits.distance_cap).mean())


def _correlation(a: Floats, b: Floats) -> float:
    """Pearson's r of two courses; 0 where one of them is flat."""
    a, b = a - a.mean(), b - b.mean()
    scale = float(np.sqrt((a @ a) * (b @ b)))
    return float(a @ b) / scale if scale > 0 else 0.0
