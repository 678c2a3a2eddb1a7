"""Intervals that a single run can give of itself, for show only: "within this run only".

They say how far the number would scatter if the run's stretches came in another order and mix. They do
not stand in for repeats: a run does not know how the next one will differ, and where the scene is
scripted the interval of a mean is 2 to 3 times too wide.
"""

from __future__ import annotations

from collections.abc import Mapping

from evenhand.metrics.frames import Frames, usable_frames
from evenhand.stats.within import mean_interval, quantile_interval
from evenhand.traces.trace import Trace

LEVEL = 0.95

# Blocks last 2 s in a run of 60 s and grow as the cube root of its length, which is the growth that
# suits the variance of a mean (Hall, Horowitz and Jing 1995), between 1 and 3 s.
BLOCK_S = 2.0
BLOCK_AT_S = 60.0
BLOCK_RANGE_S = (1.0, 3.0)

# Fewer than about ten blocks, or than thirty frames beyond the percentile, say too little: with eleven
# frames beyond it a 95 % interval of the 1% low held the truth in 77 % of simulated runs.
SHORTEST_RUN_S = 10.0
FRAMES_FOR_1PCT_INTERVAL = 3000


def within_run(trace: Trace) -> Mapping[str, tuple[float, float]]:
    """(low, high) at 95 % within this run only, by definition key: `average_fps` and `low_1pct`.

    A run under 10 s has none; one of fewer than 3,000 usable frames none for the 1% low. The law is
    that of the circular block bootstrap, see `stats.within`. Limits: where stretches of slow frames last
    as long as a block, the interval of the 1% low is too narrow (coverage down to about 80 %).

    >>> import numpy as np
    >>> steady = within_run(Trace(frame_times_ms=np.tile([9.0, 11.0], 3000)))
    >>> low, high = steady["average_fps"]
    >>> round(low, 1), round(high, 1)
    (100.0, 100.0)
    """
    frames = usable_frames(trace)
    if float(frames.sum()) < 1000 * SHORTEST_RUN_S:
        return {}
    block = block_frames(frames)
    quick, slow = mean_interval(frames, block=block, level=LEVEL)
    intervals = {"average_fps": (1000 / slow, 1000 / quick)}
    if frames.size >= FRAMES_FOR_1PCT_INTERVAL:
        quick, slow = quantile_interval(frames, 0.99, block=block, level=LEVEL)
        intervals["low_1pct"] = (1000 / slow, 1000 / quick)
    return intervals


def block_frames(frame_times_ms: Frames) -> int:
    """The length of a block in frames: 2 s × (duration ÷ 60 s)^⅓, held to 1…3 s, at the run's average rate.

    >>> import numpy as np
    >>> block_frames(np.full(6000, 10.0)), block_frames(np.full(60_000, 10.0))
    (200, 300)
    """
    duration_s = float(frame_times_ms.sum()) / 1000
    shortest, longest = BLOCK_RANGE_S
    block_s = min(max(BLOCK_S * (duration_s / BLOCK_AT_S) ** (1 / 3), shortest), longest)
    block = round(block_s * frame_times_ms.size / duration_s)
    return int(min(max(block, 1), frame_times_ms.size))
