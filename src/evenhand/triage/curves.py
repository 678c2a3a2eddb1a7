"""The course of a run along its scene: calm frames, and their median in each half second."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import ndimage

from evenhand.triage.limits.course import CurveLimits

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Curve:
    """Log frame time along a run.

    `log_ms`: shape (b,), median log frame time of the calm frames of each bin, NaN where a bin has too few;
    bin `k` covers `k·bin_s` to `(k+1)·bin_s` of frame time.
    """

    bin_s: float
    log_ms: Floats


def calm_frames(frame_times_ms: Floats, limits: CurveLimits) -> Flags:
    """Which frames follow the scene: none much longer than the running median around it. Shape (n,).

    >>> times = np.full(200, 10.0)
    >>> times[100] = 60.0
    >>> np.flatnonzero(~calm_frames(times, CurveLimits())).tolist()
    [100]
    """
    if not frame_times_ms.size:
        return np.empty(0, bool)
    usual = running_median(frame_times_ms, limits.window_frames)
    slack = np.maximum(limits.calm_add_ms, limits.calm_add_share * usual)
    return np.asarray(frame_times_ms <= np.minimum(limits.calm_factor * usual, usual + slack))


def running_median(values: Floats, window: int) -> Floats:
    """Median of the `window` values around each, the ends held; shape as given."""
    size = min(window, values.size - (values.size + 1) % 2)
    return np.asarray(ndimage.median_filter(values, size=max(1, size), mode="nearest"))


def curve(log_ms: Floats, begins_s: Floats, calm: Flags, *, bin_s: float, least_calm: int) -> Curve:
    """The course of a run, from log frame times, when each frame began, and which are calm; shapes (n,).

    >>> begins = np.arange(10) / 10
    >>> told = curve(np.arange(10.0), begins, np.ones(10, bool), bin_s=0.5, least_calm=4)
    >>> told.log_ms.tolist()
    [2.0, 7.0]
    """
    bins = (begins_s[calm] / bin_s).astype(np.int64)
    count = int(begins_s[-1] / bin_s) + 1 if begins_s.size else 0
    order = np.lexsort((log_ms[calm], bins))
    values = log_ms[calm][order]
    sizes = np.bincount(bins, minlength=count)
    starts = np.cumsum(sizes) - sizes
    enough = sizes >= least_calm
    told = np.full(count, np.nan)
    middle, half = starts[enough] + sizes[enough] // 2, (sizes[enough] - 1) // 2
    told[enough] = (values[middle] + values[starts[enough] + half]) / 2
    return Curve(bin_s=bin_s, log_ms=told)
