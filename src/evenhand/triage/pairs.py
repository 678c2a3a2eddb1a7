"""Two runs laid over each other: where along the scene the one is slower than the other."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from evenhand.stats.medians import median
from evenhand.triage.curves import Floats
from evenhand.triage.features import Features, robust_spread
from evenhand.triage.lags import Line, correlation, distance, line, nearer_by, overlap, shift
from evenhand.triage.scene_axes import (
    BY_FRAMES,
    Axis,
    axes,
    counted_out,
    curve_along,
    pace,
    seconds_at,
    slow,
)
from evenhand.triage.view import CellView


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pair:
    """One run against another along the scene, in logs of frame time: positive where `run` is slower.

    `at_s`, `apart`: shape (b,), where the bins in which both are known begin, in time of `run`, and by how
    much they differ there; `other_at_s` the same places in time of `other`. `lag_s` is how much later `run`
    comes to a place of the scene than `other`, `gain` how much nearer that shift brings them (0 without a
    shift). `level` is the median of `apart`, `shape` its robust sd, and `agreement` the correlation of both
    courses over these bins. `axis` is what they were laid over each other by.
    """

    run: Features
    other: Features
    axis: Axis
    bin_s: float
    lag_s: float
    gain: float
    at_s: Floats
    other_at_s: Floats
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
            at_s=self.other_at_s,
            other_at_s=self.at_s,
            apart=-self.apart,
            level=-self.level,
        )


def pair(run: Features, other: Features, view: CellView) -> Pair | None:
    """Lay one run over another; None where they have too little in common. Worked out once a pair."""
    if run.id > other.id:
        turned = pair(other, run, view)
        return turned.turned if turned is not None else None
    return view.prepared.derived(run, f"pair with {id(other)}", 0, lambda: _nearest(run, other, view))


def unshifted(laid: Pair, view: CellView) -> Pair:
    """The same two runs laid over each other as they begin, whatever shift would bring them nearer."""
    return shifted(laid, 0.0, view)


def shifted(laid: Pair, lag_s: float, view: CellView) -> Pair:
    """The same two runs laid over each other in time at this shift, whatever other one brings them nearer."""
    if laid.axis is Axis.TIME and laid.lag_s == lag_s:
        return laid
    limits = view.limits.curve
    mine, theirs = (line_of(r, Axis.TIME, laid.bin_s, view) for r in (laid.run, laid.other))
    at, a, b = overlap(mine, theirs, lag_s, limits)
    if at.size < limits.fewest_bins:
        return laid
    apart = a - b
    return replace(
        laid,
        axis=Axis.TIME,
        lag_s=lag_s,
        gain=nearer_by(mine, theirs, lag_s, 0.0, limits) if lag_s else 0.0,
        at_s=at,
        other_at_s=at - lag_s,
        apart=apart,
        level=median(apart),
        shape=robust_spread(apart),
        agreement=correlation(a, b),
    )


def pairs_of(run: Features, view: CellView) -> list[Pair]:
    """This run against each of its siblings."""
    found = (pair(run, sibling, view) for sibling in view.siblings(run.id))
    return [p for p in found if p is not None]


def pairs_within(runs: Sequence[Features], view: CellView) -> Iterator[Pair]:
    """Each of these runs over each other of them."""
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


def _nearest(run: Features, other: Features, view: CellView) -> Pair | None:
    """The two along the axis that brings them nearest; time unless another is plainly better.

    A steady drift between them is one along every axis, and tells none from another. Takes of as many frames
    that last far apart were not stopped by a clock: time has no first claim on them.
    """
    limits = view.limits.curve
    if not run.frames or not other.frames:
        return None
    best, least = None, math.inf
    first_claim = 0.0 if counted_out(run, other, limits) else limits.lag_gain
    for axis in axes(run, other, view):
        laid = _lay(run, other, axis, view)
        far = distance(_without_drift(laid.apart), limits) if laid is not None else math.inf
        if laid is not None and far < least:
            best, least = laid, (1 - first_claim) * far if axis is Axis.TIME else far
    return best


def _without_drift(apart: Floats) -> Floats:
    """The distance without its straight line (least squares)."""
    at = np.arange(apart.size) - (apart.size - 1) / 2
    squares = float(at @ at)
    return apart - (float(at @ apart) / squares if squares else 0.0) * at


def _lay(run: Features, other: Features, axis: Axis, view: CellView) -> Pair | None:
    limits = view.limits.curve
    bin_s = limits.slow_bin_s if slow(run, other, limits) else limits.bin_s
    scale = pace(run, other, axis)
    mine, theirs = (line_of(r, axis, bin_s / scale, view) for r in (run, other))
    if min(mine.curve.length, theirs.curve.length) < limits.fewest_bins * mine.bin_s:
        return None
    lag, gain = shift(mine, theirs, limits.most_lag_s / scale, limits)
    at, a, b = overlap(mine, theirs, lag, limits)
    if at.size < limits.fewest_bins:
        return None
    apart = a - b
    return Pair(
        run=run,
        other=other,
        axis=axis,
        bin_s=bin_s,
        lag_s=lag * scale,
        gain=gain,
        at_s=seconds_at(run, mine.curve, at),
        other_at_s=seconds_at(other, theirs.curve, at - lag),
        apart=apart,
        level=median(apart),
        shape=robust_spread(apart),
        agreement=correlation(a, b),
    )


def line_of(run: Features, axis: Axis, width: float, view: CellView) -> Line:
    """A run along an axis in bins of this width (in units of the axis); worked out once along time."""
    limits = view.limits.curve
    if axis in BY_FRAMES:
        return line(curve_along(run, axis, view), width, limits)
    return view.prepared.as_long_as_the_run(
        run,
        f"line by {axis.value}",
        round(1000 * width),
        lambda: line(curve_along(run, axis, view), width, limits),
    )
