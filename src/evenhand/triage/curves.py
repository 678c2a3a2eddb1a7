"""The course of a run along its scene: calm frames, and their mean over any stretch of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.triage.limits.course import CurveLimits

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Curve:
    """Log frame time along a run, ready to be averaged over any bins.

    `edges`: shape (n + 1,), where on the run's axis each frame begins, and the end of the last (seconds, or
    frames). `calm`: shape (n + 1,), how much of the axis calm frames have covered up to there; `logs` the
    same, each part times its log frame time.
    """

    edges: Floats
    calm: Floats
    logs: Floats

    @property
    def length(self) -> float:
        """Where the axis ends."""
        return float(self.edges[-1])

    def over(self, cuts: Floats, *, least_calm: float) -> Floats:
        """Mean log frame time of the calm frames between neighbouring cuts; shape one less than `cuts`.

        NaN where calm frames cover less than this share of a bin, or where a bin leaves the run.

        >>> told = curve(np.log([10.0, 10.0, 20.0, 20.0]), np.array([1.0, 1, 2, 2]), np.ones(4, bool))
        >>> np.exp(told.over(np.array([0.0, 2.0, 4.0, 6.0, 8.0]), least_calm=0.5)).round(1).tolist()
        [10.0, 20.0, 20.0, nan]
        """
        widths = _between(cuts)
        covered = _between(np.interp(cuts, self.edges, self.calm))
        sums = _between(np.interp(cuts, self.edges, self.logs))
        told = np.full(widths.size, np.nan)
        enough = covered >= least_calm * widths
        enough &= (cuts[:-1] >= -_SLACK) & (cuts[1:] <= self.edges[-1] + _SLACK)
        np.divide(sums, covered, out=told, where=enough)
        return told


_SLACK = 1e-9


def _between(sums: Floats) -> Floats:
    return np.asarray(sums[1:] - sums[:-1])


_PIECE = 1_000_000  # frames at a time, so that steps on the way take no memory of the run's own size


def pieces(size: int) -> Iterator[slice]:
    """All places of an array of this size, a piece at a time.

    >>> list(pieces(2))
    [slice(0, 1000000, None)]
    """
    return (slice(start, start + _PIECE) for start in range(0, size, _PIECE))


def curve(log_ms: Floats, extents: Floats, calm: Flags) -> Curve:
    """The course of a run: log frame times, how far each frame reaches on the axis, which are calm; (n,)."""
    covered, edges = np.where(calm, extents, 0.0), _running(extents)
    del extents  # as long as the run, and mostly nobody else's
    by_calm = _running(covered)
    covered *= log_ms
    return Curve(edges=edges, calm=by_calm, logs=_running(covered))


def _running(values: Floats) -> Floats:
    sums = np.empty(values.size + 1)
    sums[0] = 0.0
    np.cumsum(values, out=sums[1:])
    return sums


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
    calm = np.empty(usual.size, bool)
    for piece in pieces(usual.size):
        calm[piece] = frame_times_ms[piece] <= _most_calm(usual[piece], limits)
    return calm


def _most_calm(usual_ms: Floats, limits: CurveLimits) -> Floats:
    slack = np.maximum(limits.calm_add_ms, limits.calm_add_share * usual_ms)
    return np.asarray(np.minimum(limits.calm_factor * usual_ms, usual_ms + slack))


def running_median(values: Floats, window: int) -> Floats:
    """Median of the `window` values around each, the ends held; shape as given."""
    from scipy import ndimage  # slow to load, and seldom needed

    size = min(window, values.size - (values.size + 1) % 2)
    return np.asarray(ndimage.median_filter(values, size=max(1, size), mode="nearest"))
