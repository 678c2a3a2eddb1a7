"""A series of any length brought down to the columns of a picture, no extreme lost."""

from __future__ import annotations

from collections.abc import Sequence
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


def envelope(frame_times_ms: Floats, edges_s: Floats) -> tuple[Floats, Floats]:
    """The shortest and the longest frame (ms) of each column of time, on edges that several traces share.

    `edges_s` has shape (m + 1,), rising; the results have shape (m,). A frame counts in every column that it
    reaches into; a column after the last frame holds NaN. No value of the trace may be below 0.

    >>> low, high = envelope(np.array([10.0, 30.0, 20.0]), np.array([0.0, 0.02, 0.05, 0.06, 0.07]))
    >>> low.tolist(), high.tolist()
    ([10.0, 20.0, 20.0, nan], [30.0, 30.0, 20.0, nan])
    """
    ends_s = np.cumsum(frame_times_ms) / 1000.0
    firsts = np.searchsorted(ends_s, edges_s[:-1] + 1e-9, side="right")
    lasts = np.maximum(np.searchsorted(ends_s - frame_times_ms / 1000.0, edges_s[1:] - 1e-9), firsts + 1)
    within = firsts < frame_times_ms.size
    low, high = np.full(firsts.size, np.nan), np.full(firsts.size, np.nan)
    if within.any():
        pairs = np.column_stack([firsts[within], lasts[within]]).ravel()
        padded = np.append(frame_times_ms, frame_times_ms[-1])  # so that a pair may end after the last frame
        low[within] = np.minimum.reduceat(padded, pairs)[::2]
        high[within] = np.maximum.reduceat(padded, pairs)[::2]
    return low, high


def corners(line: Sequence[tuple[float, float]], off: float = 0.05) -> list[tuple[float, float]]:
    """The points that a line, rising across, has to go through to be drawn within `off` of every one.

    >>> corners([(0, 0.0), (1, 1.0), (2, 2.04), (3, 3.0), (4, 2.0), (5, 1.0)])
    [(0, 0.0), (3, 3.0), (5, 1.0)]
    """
    kept, last = [0], len(line) - 1
    while kept[-1] < last:
        end = kept[-1] + 1
        while end < last and _straight(line[kept[-1] : end + 2], off):
            end += 1
        kept.append(end)
    return [line[n] for n in kept]


def _straight(line: Sequence[tuple[float, float]], off: float) -> bool:
    (x, y), (right, high) = line[0], line[-1]
    if right <= x:
        return False
    return all(abs(y + (high - y) * (at - x) / (right - x) - own) <= off for at, own in line)


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
