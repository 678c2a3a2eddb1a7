"""How far two courses must be shifted along the scene to lie over each other, to a fraction of a bin."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import fft

from evenhand.triage.curves import Curve, Floats
from evenhand.triage.limits.course import CurveLimits


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """A course, and its samples in half bins of `bin_s`, extremes held; what a lag is searched in."""

    curve: Curve
    bin_s: float
    samples: Floats


def line(course: Curve, bin_s: float, limits: CurveLimits) -> Line:
    """The course in half bins, its extremes held so that a pause in one of two takes decides nothing."""
    step = bin_s / 2
    cuts: Floats = step * np.arange(int(course.length / step) + 1, dtype=float)
    values = course.over(cuts, least_calm=limits.least_calm)
    known = values[np.isfinite(values)]
    if known.size:
        low, high = np.quantile(known, (0.05, 0.95))
        values = np.clip(values, low - limits.distance_cap, high + limits.distance_cap)
    return Line(curve=course, bin_s=bin_s, samples=values)


def shift(mine: Line, theirs: Line, limits: CurveLimits) -> tuple[float, float]:
    """The shift, in units of the axis, that brings two courses nearest, and by what share.

    0, 0 unless it is worth it. `mine` stands at `t` where `theirs` stands at `t − shift`. Every shift by half
    a bin is weighed at once by the variance of the difference; the lowest point of the parabola through the
    best three is taken. What it brings is measured over the stretch that both have in common under it, since
    a shorter stretch varies less.
    """
    step = mine.bin_s / 2
    shorter = min(mine.samples.size, theirs.samples.size)
    most = int(min(2 * limits.most_lag_bins, limits.most_lag_share * shorter))
    unlike = _unlikeness(mine.samples, theirs.samples, most)
    best = int(np.argmin(unlike))
    if not np.isfinite(unlike[best]) or unlike[best] >= (1 - limits.lag_gain) * unlike[most]:
        return 0.0, 0.0
    lag_s = step * (best - most + _vertex(unlike, best))
    at, a, b = overlap(mine, theirs, lag_s, limits)
    if at.size < limits.fewest_bins:
        return 0.0, 0.0
    there, here, straight = overlap(mine, theirs, 0.0, limits)
    common = (there >= at[0]) & (there <= at[-1])
    far = distance(here[common] - straight[common], limits)
    gain = 1 - distance(a - b, limits) / far if far > 0 else 0.0
    return (lag_s, gain) if gain >= limits.lag_gain else (0.0, 0.0)


def overlap(mine: Line, theirs: Line, lag_s: float, limits: CurveLimits) -> tuple[Floats, Floats, Floats]:
    """Where the bins begin in which both are known, in seconds of `mine`, and both courses there."""
    cuts: Floats = mine.bin_s * np.arange(int(mine.curve.length / mine.bin_s) + 1, dtype=float)
    a = mine.curve.over(cuts, least_calm=limits.least_calm)
    b = theirs.curve.over(cuts - lag_s, least_calm=limits.least_calm)
    known = np.isfinite(a) & np.isfinite(b)
    return cuts[:-1][known], a[known], b[known]


def distance(apart: Floats, limits: CurveLimits) -> float:
    """Mean distance of two courses, each bin's held to a largest one; inf without enough bins."""
    if apart.size < limits.fewest_bins:
        return np.inf
    return float(np.minimum(np.abs(apart - np.median(apart)), limits.distance_cap).mean())


def _unlikeness(a: Floats, b: Floats, most: int) -> Floats:
    """Variance of `a − b` over their overlap, for each shift from −most to most; shape (2·most + 1,).

    inf where less than half of the shorter is left in common. Sums over all shifts at once: by FFT.
    """
    size = fft.next_fast_len(a.size + b.size, real=True)
    a0, a1, a2 = _moments(a, size)
    b0, b1, b2 = np.conj(_moments(b, size))
    sums = fft.irfft([a0 * b0, a1 * b0 - a0 * b1, a2 * b0 + a0 * b2 - 2 * a1 * b1], size)
    n, first, square = np.roll(sums, most, axis=1)[:, : 2 * most + 1]
    enough = n > min(a.size, b.size) / 2
    n = np.where(enough, n, 1.0)
    return np.where(enough, np.maximum(square / n - (first / n) ** 2, 0.0), np.inf)


def _moments(values: Floats, size: int) -> npt.NDArray[np.complex128]:
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
