"""How far two courses must be shifted along the scene to lie over each other, to a fraction of a bin."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from scipy import fft

from evenhand.stats.medians import median
from evenhand.triage.curves import Curve, Floats
from evenhand.triage.limits.course import CurveLimits

Complex = npt.NDArray[np.complex128]

_FLAT = 1e-9  # logs; less is rounding
_CLOSE = 4  # half bins: nobody starts two takes at quite the same moment


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """A course in bins of `bin_s`, and its samples in half bins, extremes held; what a lag is searched in.

    `spectra` are those of the samples (`_moments`) by size, each worked out once.
    """

    curve: Curve
    bin_s: float
    bins: Floats
    samples: Floats
    spectra: dict[int, Complex] = field(default_factory=dict, repr=False)


def line(course: Curve, bin_s: float, limits: CurveLimits) -> Line:
    """The course in half bins, its extremes held so that a pause in one of two takes decides nothing."""
    values = course.over(_cuts(course, bin_s / 2), least_calm=limits.least_calm)
    known = values[np.isfinite(values)]
    if known.size:
        low, high = np.quantile(known, (0.05, 0.95))
        values = np.clip(values, low - limits.held_beyond, high + limits.held_beyond)
    bins = course.over(_cuts(course, bin_s), least_calm=limits.least_calm)
    return Line(curve=course, bin_s=bin_s, bins=bins, samples=values)


def _cuts(course: Curve, width: float) -> Floats:
    """Where bins of this width begin, and the last one ends."""
    return width * np.arange(int(course.length / width) + 1, dtype=float)


def shift(mine: Line, theirs: Line, most_lag: float, limits: CurveLimits) -> tuple[float, float]:
    """The shift, at most so large, that brings two courses nearest, and by what share; in units of the axis.

    0, 0 unless it is worth it. `mine` stands at `t` where `theirs` stands at `t − shift`. Every shift by half
    a bin is weighed at once by the variance of the difference; the lowest point of the parabola through the
    best three is taken, close by and anywhere: a scene that repeats itself, or a pause that a far shift
    leaves out, must not be taken for a late start. What it brings is measured on what both have in common.
    """
    step = mine.bin_s / 2
    shorter = min(mine.samples.size, theirs.samples.size)
    most = int(min(most_lag / step, limits.most_lag_share * shorter))
    unlike = _unlikeness(mine, theirs, most)
    close = slice(max(0, most - _CLOSE), most + _CLOSE + 1)
    lows = (close.start + int(np.argmin(unlike[close])), int(np.argmin(unlike)))
    lag, gain = 0.0, 0.0
    for low in dict.fromkeys(lows):
        tried = step * (low - most + _vertex(unlike, low))
        if tried and unlike[low] <= unlike[most]:
            better = nearer_by(mine, theirs, tried, lag, limits)
            if better >= limits.lag_gain:
                lag, gain = tried, 1 - (1 - gain) * (1 - better)
    return lag, gain


def nearer_by(mine: Line, theirs: Line, lag: float, than: float, limits: CurveLimits) -> float:
    """By what share one shift brings two courses nearer than another, where both shifts know them.

    Courses that are near already are not carried far: in a still scene any shift is as good as another.
    """
    at, a, b = overlap(mine, theirs, lag, limits)
    there, here, other = overlap(mine, theirs, than, limits)
    if at.size < limits.fewest_bins or correlation(a, b) < limits.lag_agreement:
        return 0.0
    far = distance((here - other)[(there >= at[0]) & (there <= at[-1])], limits)
    if abs(lag - than) > _CLOSE * mine.bin_s / 2 and far < limits.lag_least:
        return 0.0
    near = distance((a - b)[(at >= there[0]) & (at <= there[-1])], limits) if there.size else np.inf
    return 1 - near / far if 0 < far < np.inf else 0.0


def overlap(mine: Line, theirs: Line, lag_s: float, limits: CurveLimits) -> tuple[Floats, Floats, Floats]:
    """Where the bins begin in which both are known, in seconds of `mine`, and both courses there."""
    cuts, a, b = _cuts(mine.curve, mine.bin_s), mine.bins, theirs.bins[: mine.bins.size]
    if lag_s or b.size < a.size:
        b = theirs.curve.over(cuts - lag_s, least_calm=limits.least_calm)
    known = np.isfinite(a) & np.isfinite(b)
    return cuts[:-1][known], a[known], b[known]


def distance(apart: Floats, limits: CurveLimits) -> float:
    """Mean distance of two courses, each bin's held to a largest one; inf without enough bins."""
    if apart.size < limits.fewest_bins:
        return np.inf
    return float(np.minimum(np.abs(apart - median(apart)), limits.distance_cap).mean())


def correlation(a: Floats, b: Floats) -> float:
    """Pearson's r of two courses; 0 where one of them is flat."""
    a, b = a - a.sum() / a.size, b - b.sum() / b.size
    if min(np.abs(a).max(), np.abs(b).max()) < _FLAT:
        return 0.0
    return float(a @ b / np.sqrt((a @ a) * (b @ b)))


def _unlikeness(mine: Line, theirs: Line, most: int) -> Floats:
    """Variance of the difference over the overlap, for each shift from −most to most; shape (2·most + 1,).

    inf where less than half of the shorter is left in common. Sums over all shifts at once: by FFT.
    """
    size = fft.next_fast_len(mine.samples.size + theirs.samples.size, real=True)
    a0, a1, a2 = _spectra(mine, size)
    b0, b1, b2 = np.conj(_spectra(theirs, size))
    sums = fft.irfft([a0 * b0, a1 * b0 - a0 * b1, a2 * b0 + a0 * b2 - 2 * a1 * b1], size)
    n, first, square = np.roll(sums, most, axis=1)[:, : 2 * most + 1]
    enough = n > min(mine.samples.size, theirs.samples.size) / 2
    n = np.where(enough, n, 1.0)
    return np.where(enough, np.maximum(square / n - (first / n) ** 2, 0.0), np.inf)


def _spectra(of: Line, size: int) -> Complex:
    if size not in of.spectra:
        of.spectra[size] = _moments(of.samples, size)
    return of.spectra[size]


def _moments(values: Floats, size: int) -> Complex:
    """Spectra of where values are known, of them about their mean, and of their squares; shape (3, f)."""
    known = np.isfinite(values)
    centred = np.where(known, values - (values[known].mean() if known.any() else 0.0), 0.0)
    return np.asarray(fft.rfft([known.astype(float), centred, centred**2], size))


def _vertex(values: Floats, best: int) -> float:
    """Where between its neighbours the lowest point lies, −0.5 to 0.5."""
    if not 0 < best < values.size - 1 or not np.isfinite(values[best - 1 : best + 2]).all():
        return 0.0
    left, middle, right = values[best - 1 : best + 2]
    bend = left - 2 * middle + right
    return float(0.5 * (left - right) / bend) if bend > 0 else 0.0
