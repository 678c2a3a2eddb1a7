"""Hitches: frames that stand far above the frames around them."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from numpy.lib.stride_tricks import sliding_window_view

# Part of the definition of a hitch, hence not an input: other numbers would be another definition.
HITCH_TIMES_MEDIAN = 2.5
HITCH_ABOVE_MEDIAN_MS = 8.0
WINDOW = 61

# The bound needs blocks whose length divides WINDOW − 1 by four: then a window meets five of them.
_BLOCK = (WINDOW - 1) // 4
_BLOCKS_MET = 5
_AT_ONCE = 50_000  # blocks: sorting a long run in pieces spares a copy of it
_BELOW_IN_BLOCK = (WINDOW // 2) // _BLOCKS_MET


def hitch_frames(frame_times_ms: npt.NDArray[np.float64]) -> npt.NDArray[np.bool_]:
    """Which frames are hitch frames: longer than 2.5 × and than 8 ms above the median around them.

    `frame_times_ms`: shape (n,), milliseconds, finite and above zero. Result: shape (n,). The median is
    taken over 61 frames with the frame in the middle; the first and last 30 frames share the first and
    last whole window; a run of fewer than 61 frames has one median.

    Exact, yet few medians are taken: see `_median_at_least`.

    >>> calm = np.full(100, 10.0)
    >>> calm[40] = 26.0
    >>> np.flatnonzero(hitch_frames(calm)).tolist()
    [40]
    """
    n = frame_times_ms.size
    if n < WINDOW:
        return frame_times_ms > _limit_ms(np.median(frame_times_ms)) if n else np.zeros(0, np.bool_)
    hitch = np.zeros(n, np.bool_)
    candidates = np.flatnonzero(_above_lower_limit(frame_times_ms))
    starts = np.clip(candidates - WINDOW // 2, 0, n - WINDOW)
    windows = sliding_window_view(frame_times_ms, WINDOW)[starts]
    medians = np.partition(windows, WINDOW // 2, axis=1)[:, WINDOW // 2]
    hitch[candidates] = frame_times_ms[candidates] > _limit_ms(medians)
    return hitch


def stretches(marked: npt.NDArray[np.bool_]) -> int:
    """How many unbroken stretches of marked frames there are.

    >>> stretches(np.array([True, True, False, True]))
    2
    """
    return int(marked[:1].sum() + np.count_nonzero(marked[1:] & ~marked[:-1]))


def _limit_ms(median_ms: npt.NDArray[np.float64] | np.float64) -> npt.NDArray[np.float64]:
    return np.maximum(HITCH_TIMES_MEDIAN * median_ms, median_ms + HITCH_ABOVE_MEDIAN_MS)


def _above_lower_limit(frame_times_ms: npt.NDArray[np.float64]) -> npt.NDArray[np.bool_]:
    """Frames that exceed the limit of a lower bound of their median: all hitch frames are among them."""
    n = frame_times_ms.size
    padded = np.full(-(-n // _BLOCK) * _BLOCK, np.inf)
    padded[:n] = frame_times_ms
    blocks = padded.reshape(-1, _BLOCK)
    limit = _limit_ms(_median_at_least(blocks, n))
    return (blocks > limit[:, None]).reshape(-1)[:n]


def _median_at_least(blocks: npt.NDArray[np.float64], n: int) -> npt.NDArray[np.float64]:
    """For each block of 15 frames, a lower bound of the median of every window centred in it.

    A window of 61 frames meets at most five blocks. Let L be the smallest of their 7th smallest frames:
    each block holds at most 6 frames below L, so the window holds at most 30, and its 31st smallest
    frame, the median, is at least L. Padding with infinity only raises 7th smallest frames of a block
    that has at most 6 frames below them anyway.
    """
    seventh = np.empty(len(blocks))
    for start in range(0, len(blocks), _AT_ONCE):
        piece = slice(start, start + _AT_ONCE)
        seventh[piece] = np.partition(blocks[piece], _BELOW_IN_BLOCK, axis=1)[:, _BELOW_IN_BLOCK]
    met = np.append(seventh, np.full(_BLOCKS_MET - 1, np.inf))
    smallest = sliding_window_view(met, _BLOCKS_MET).min(axis=1)
    first_met = np.clip(np.arange(seventh.size) - 2, 0, (n - WINDOW) // _BLOCK)
    return np.asarray(smallest[first_met])
