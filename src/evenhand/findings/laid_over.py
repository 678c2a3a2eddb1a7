"""The runs of one scene laid over each other: where along it one setup gains or loses time against the other.

Every run's course (mean log frame time of calm frames, by half seconds) is shifted onto one reference run,
and the courses of each setup are averaged. A place is told where the distance of the two averages leaves its
own median by more than the margin and by more than runs of one setup scatter.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from evenhand.stats.medians import median
from evenhand.triage.curves import Curve, Floats, calm_frames, curve
from evenhand.triage.lags import Line, correlation, line, shift
from evenhand.triage.limits.course import CurveLimits

SAME_LENGTH = 0.06  # ln ratio: takes that last alike are played by the clock
STANDS_OUT = 4.0  # standard errors of a bin: of a hundred bins none by chance
SMOOTH_S, LEAST_S = 1.5, 1.0  # a place is looked for over the one, and lasts the other at least
RESEMBLE = 0.4  # correlation: courses that agree less are not of one scene, or it has no course
ROBUST = 1.4826  # from a median absolute deviation to a standard deviation
MOST_PLACES = 6


class Axis(StrEnum):
    """What moves the scene on."""

    TIME = "time"
    FRAMES = "frames"


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A stretch in which the distance is another one than over the whole: `ratio` there, a over b.

    `from_s` and `to_s` are seconds of the reference run.
    """

    from_s: float
    to_s: float
    ratio: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LaidOver:
    """Two setups along one scene, by bins of `bin_s`.

    `at_s`: shape (m,), where bins begin, in seconds of the reference run. `runs_a`, `runs_b`: shape (runs,
    m), ms a frame, NaN where not known. `a_ms`, `b_ms`: their averages; `ratio`: shape (m,), above 1 where a
    is the quicker; `overall` is its median. `agreement` is the correlation of both averages.
    """

    axis: Axis
    bin_s: float
    at_s: Floats
    runs_a: Floats
    runs_b: Floats
    a_ms: Floats
    b_ms: Floats
    ratio: Floats
    overall: float
    agreement: float
    spots: tuple[Spot, ...]

    @property
    def resembles(self) -> bool:
        """Whether the two courses are alike enough for places to mean anything."""
        return self.agreement >= RESEMBLE


def lay_over(a: Sequence[Floats], b: Sequence[Floats], *, margin: float) -> LaidOver | None:
    """Frame times in ms of the runs of both setups, each of shape (n,); None where they share no axis.

    Scenes are played by the clock (takes last alike) or frame by frame (takes hold as many frames).
    """
    limits = CurveLimits()
    sides = [[frames for frames in map(_readable, side) if frames.size] for side in (a, b)]
    if not all(sides):
        return None
    axis = axis_of(*sides, limits=limits)
    if axis is None:
        return None
    reference = _middle(sides[0])
    seconds = float(reference.sum()) / 1000
    unit = 1.0 if axis is Axis.TIME else reference.size / seconds  # of the axis in a second of the reference
    bin_s = limits.bin_s if median(reference) <= limits.slow_above_ms else limits.slow_bin_s
    cuts: Floats = bin_s * unit * np.arange(int(seconds / bin_s) + 1, dtype=float)
    if cuts.size <= limits.fewest_bins:
        return None
    first = line(_course(reference, axis, limits), bin_s * unit, limits)
    on_it = [np.array([_onto(first, _course(f, axis, limits), cuts, limits) for f in side]) for side in sides]
    return _laid(axis, bin_s, on_it[0], on_it[1], margin=margin)


def axis_of(a: Sequence[Floats], b: Sequence[Floats], *, limits: CurveLimits) -> Axis | None:
    """By the clock where takes last alike, by frames where they hold as many, else None."""
    lengths = [median(np.array([float(f.sum()) for f in side])) for side in (a, b)]
    if abs(math.log(lengths[0] / lengths[1])) <= SAME_LENGTH:
        return Axis.TIME
    counts = [median(np.array([float(f.size) for f in side])) for side in (a, b)]
    return Axis.FRAMES if abs(math.log(counts[0] / counts[1])) <= limits.same_count else None


def _readable(frames: Floats) -> Floats:
    return frames[np.isfinite(frames) & (frames > 0)]


def _middle(side: Sequence[Floats]) -> Floats:
    """The run in the middle by its mean frame time."""
    return sorted(side, key=lambda frames: float(frames.mean()))[len(side) // 2]


def _course(frames: Floats, axis: Axis, limits: CurveLimits) -> Curve:
    extents = frames / 1000 if axis is Axis.TIME else np.ones(frames.size)
    return curve(np.log(frames), extents, calm_frames(frames, limits))


def _onto(reference: Line, course: Curve, cuts: Floats, limits: CurveLimits) -> Floats:
    """A run's log frame times in the bins of the reference, shifted onto it; shape (m,)."""
    unit = reference.bin_s / limits.bin_s
    lag, _ = shift(reference, line(course, reference.bin_s, limits), limits.most_lag_s * unit, limits)
    return course.over(cuts - lag, least_calm=limits.least_calm)


def _laid(axis: Axis, bin_s: float, a: Floats, b: Floats, *, margin: float) -> LaidOver | None:
    """Both sides' logs by run and bin, cut to the bins that both know."""
    known = np.isfinite(a).any(axis=0) & np.isfinite(b).any(axis=0)
    if np.count_nonzero(known) < CurveLimits().fewest_bins:
        return None
    at_s: Floats = bin_s * np.flatnonzero(known).astype(float)
    a, b = a[:, known], b[:, known]
    mean_a, mean_b = np.nanmean(a, axis=0), np.nanmean(b, axis=0)
    lead = mean_b - mean_a
    agreement = correlation(mean_a, mean_b)
    least = max(math.log1p(margin), STANDS_OUT * _error(a, b))
    spots = tuple(_spots(lead, at_s, bin_s, least=least)) if agreement >= RESEMBLE else ()
    return LaidOver(
        axis=axis, bin_s=bin_s, at_s=at_s, runs_a=np.exp(a), runs_b=np.exp(b), a_ms=np.exp(mean_a),
        b_ms=np.exp(mean_b), ratio=np.exp(lead), overall=math.exp(median(lead)), agreement=agreement,
        spots=spots,
    )  # fmt: skip


def _error(a: Floats, b: Floats) -> float:
    """The standard error of the distance in one bin, from how runs of one setup scatter along the scene.

    A run's own level is taken out first: it moves the whole of it and no place. inf where neither repeats.
    """
    rests = [_rests(side) for side in (a, b) if side.shape[0] > 1]
    if not rests:
        return math.inf
    rest = np.concatenate(rests)
    spread = ROBUST * median(np.abs(rest[np.isfinite(rest)]))
    return spread * math.sqrt(1 / a.shape[0] + 1 / b.shape[0])


def _rests(side: Floats) -> Floats:
    """What is left of each run's course without the setup's average and the run's own level, unbiased."""
    rest = side - np.nanmean(side, axis=0)
    rest = rest - np.nanmedian(rest, axis=1, keepdims=True)
    return np.asarray(rest * math.sqrt(side.shape[0] / (side.shape[0] - 1))).ravel()


def _spots(lead: Floats, at_s: Floats, bin_s: float, *, least: float) -> list[Spot]:
    """Stretches in which the smoothed distance leaves its median by more than `least`, in order."""
    size = max(1, round(SMOOTH_S / bin_s) | 1)
    held = np.pad(lead, size // 2, mode="edge")
    smooth = np.convolve(held, np.ones(size) / size, mode="valid")
    away = smooth - median(lead)
    out = np.where(away > least, 1, np.where(away < -least, -1, 0))
    found = []
    edges = np.flatnonzero(np.diff(np.concatenate(([0], out, [0]))))
    for start, end in pairwise(edges):
        if out[start] and (end - start) * bin_s >= LEAST_S:
            ratio = math.exp(float(lead[start:end].mean()))
            found.append((float(np.abs(away[start:end]).max()), Spot(
                from_s=float(at_s[start]), to_s=float(at_s[end - 1]) + bin_s, ratio=ratio,
            )))  # fmt: skip
    strongest = sorted(found, key=lambda one: -one[0])[:MOST_PLACES]
    return sorted((spot for _, spot in strongest), key=lambda spot: spot.from_s)
