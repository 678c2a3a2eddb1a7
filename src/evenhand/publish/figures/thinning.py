"""A series of any length brought down to the columns of a picture, no extreme lost."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


def readable(frame_times_ms: Floats) -> Floats:
    """The frame times that can be drawn: finite and above zero."""
    return frame_times_ms[np.isfinite(frame_times_ms) & (frame_times_ms > 0)]


def thinned(frame_times_ms: Floats, columns: int) -> tuple[Floats, Floats, Floats]:
    """A trace in columns of equal time: each one's start (s), its shortest and its longest frame (ms).

    `frame_times_ms` has shape (n,) with n ≥ 1 and no value below 0. The three results have one shape
    (m,), m ≤ columns: columns that one long frame spans count as one.

    >>> t, low, high = thinned(np.array([10.0, 30.0, 20.0, 40.0]), 2)
    >>> t.tolist(), low.tolist(), high.tolist()
    ([0.0, 0.05], [10.0, 20.0], [30.0, 40.0])
    """
    ends_s = np.cumsum(frame_times_ms) / 1000.0
    edges_s = np.linspace(0.0, ends_s[-1], columns + 1)
    firsts = np.minimum(np.searchsorted(ends_s, edges_s[:-1], side="right"), ends_s.size - 1)
    firsts, kept = np.unique(firsts, return_index=True)
    low = np.minimum.reduceat(frame_times_ms, firsts)
    return edges_s[kept], low, np.maximum.reduceat(frame_times_ms, firsts)


def turning_points(values: Floats, most: int) -> npt.NDArray[np.intp]:
    """Which values a line of at most about `most` points goes through: of each share the least and the most.

    `values` has shape (n,); NaN, a gap of the line, stays. The result is sorted.

    >>> turning_points(np.array([1.0, 5.0, 2.0, 3.0, 0.0, 4.0]), 4).tolist()
    [0, 1, 4, 5]
    """
    if values.size <= most:
        return np.arange(values.size)
    edges = np.linspace(0, values.size, most // 2 + 1).astype(np.intp)
    kept: set[int] = set(np.flatnonzero(np.diff(np.isnan(values).astype(int)) != 0).tolist())
    for first, end in pairwise(edges):
        share = values[first:end]
        if np.isfinite(share).any():
            kept |= {int(first + np.nanargmin(share)), int(first + np.nanargmax(share))}
    return np.array(sorted(kept), dtype=np.intp)
