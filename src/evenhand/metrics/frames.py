"""One trace of frames into numbers, each under its definition (see `metrics.definitions`)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
import numpy.typing as npt

from evenhand.metrics.definitions import BUDGET_ROOM_MS, NAMED_BUDGETS_MS, keyed_budgets
from evenhand.metrics.hitches import hitch_frames, stretches
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.stats.medians import median
from evenhand.traces.trace import Trace

Frames = npt.NDArray[np.float64]

# Below these, one percent of the frames is not one frame, one in a thousand not ten of them.
FRAMES_FOR_1PCT = 100
FRAMES_FOR_01PCT = 10_000

_STANDARD_BUDGETS_MS = tuple(NAMED_BUDGETS_MS.values())


def measure(trace: Trace, *, budgets_ms: Iterable[float] = _STANDARD_BUDGETS_MS) -> RunMetrics:
    """The numbers of one run.

    Only frames with a finite time above zero enter; the others stay in the trace and are counted as
    `frames_left_out`. A number that the run cannot carry is absent, with its reason. Neighbours for
    frame pacing are neighbours in the log. Raises `BadRecord` for a budget that is no length of time.

    >>> run = measure(Trace(frame_times_ms=np.array([10.0, 10.0, 30.0, np.nan])))
    >>> run.values["average_fps"], run.values["frames_left_out"]
    (60.0, 1.0)
    >>> run.absent["low_1pct"]
    'needs 100 frames; the run has 3'
    """
    logged = trace.frame_times_ms
    usable = _usable(logged)
    frames = logged if usable.all() else logged[usable]
    values = {"frames": float(frames.size), "frames_left_out": float(logged.size - frames.size)}
    absent: dict[str, str] = {}
    numbers = (
        _rates(frames),
        _lows(frames),
        _hitches(frames),
        _time_over(frames, keyed_budgets(budgets_ms)),
        _pacing(logged, usable),
    )
    for found, missing in numbers:
        values |= found
        absent |= missing
    return RunMetrics(values=values, absent=absent)


def usable_frames(trace: Trace) -> Frames:
    """The frame times that the numbers are made of: finite and above zero, in order, milliseconds.

    >>> usable_frames(Trace(frame_times_ms=np.array([8.0, 0.0, 9.0]))).tolist()
    [8.0, 9.0]
    """
    usable = _usable(trace.frame_times_ms)
    return trace.frame_times_ms if usable.all() else trace.frame_times_ms[usable]


_Numbers = tuple[dict[str, float], dict[str, str]]


def _usable(logged: Frames) -> npt.NDArray[np.bool_]:
    return (logged > 0) & (logged < np.inf)


def _without(keys: Iterable[str], needed: str, frames: Frames) -> dict[str, str]:
    return dict.fromkeys(keys, f"needs {needed}; the run has {frames.size:,}")


def _rates(frames: Frames) -> _Numbers:
    total_ms = float(frames.sum())
    values = {"duration_s": total_ms / 1000}
    if not frames.size:
        return values, _without(("average_fps", "minimum_fps"), "a usable frame", frames)
    values["average_fps"] = 1000 * frames.size / total_ms
    values["minimum_fps"] = 1000 / float(frames.max())
    return values, {}


def _lows(frames: Frames) -> _Numbers:
    """The lows, all from the slowest one percent of the frames, which alone are put in order."""
    n = frames.size
    absent = {} if n >= FRAMES_FOR_01PCT else _without(["low_01pct"], f"{FRAMES_FOR_01PCT:,} frames", frames)
    if n < FRAMES_FOR_1PCT:
        lows = ("low_1pct", "low_1pct_slowest_mean", "low_1pct_time_weighted")
        return {}, absent | _without(lows, f"{FRAMES_FOR_1PCT} frames", frames)
    percent = -(-n // 100)
    # The 99th percentile may lie between this percent and the next quicker frame or two.
    slowest = np.sort(np.partition(frames, n - percent - 2)[n - percent - 2 :])
    values = {
        "low_1pct": 1000 / _upper_quantile(slowest, n, 100),
        "low_1pct_slowest_mean": 1000 / float(slowest[-percent:].mean()),
        "low_1pct_time_weighted": 1000 / _slow_by_time(slowest[-percent:], float(frames.sum())),
    }
    if n >= FRAMES_FOR_01PCT:
        values["low_01pct"] = 1000 / _upper_quantile(slowest, n, 1000)
    return values, absent


def _upper_quantile(largest: Frames, n: int, one_in: int) -> float:
    """The 1 − 1/`one_in` quantile of n numbers of which the largest are given in rising order.

    Source: Hyndman and Fan 1996, definition 7; the place (n − 1)(1 − 1/`one_in`) in whole numbers, so
    that no rounding moves it.
    """
    place, part = divmod((n - 1) * (one_in - 1), one_in)
    low, high = largest[place - n], largest[min(place - n + 1, -1)]
    return float(low + (high - low) * (part / one_in))


def _slow_by_time(slowest: Frames, total_ms: float) -> float:
    """The longest frame time such that frames at least as long fill 1 % of the time.

    The slowest percent of the frames fills at least a percent of the time, so that it suffices.
    """
    filled = np.cumsum(slowest[::-1])
    reached = int(np.searchsorted(filled, total_ms / 100 * (1 - 1e-12)))
    return float(slowest[::-1][min(reached, slowest.size - 1)])


def _hitches(frames: Frames) -> _Numbers:
    if not frames.size:
        keys = ("hitches", "hitches_per_min", "stutter_share_pct")
        return {}, _without(keys, "a usable frame", frames)
    hitch = hitch_frames(frames)
    count, total_ms = stretches(hitch), float(frames.sum())
    return {
        "hitches": float(count),
        "hitches_per_min": count / (total_ms / 60_000),
        "stutter_share_pct": 100 * float(frames[hitch].sum()) / total_ms,
    }, {}


def _time_over(frames: Frames, budgets_ms: Mapping[str, float]) -> _Numbers:
    if not frames.size:
        return {}, _without(budgets_ms, "a usable frame", frames)
    total_ms = float(frames.sum())
    limits_ms = {key: budget_ms + BUDGET_ROOM_MS for key, budget_ms in budgets_ms.items()}
    return {k: 100 * float(frames[frames > ms].sum()) / total_ms for k, ms in limits_ms.items()}, {}


def _pacing(logged: Frames, usable: npt.NDArray[np.bool_]) -> _Numbers:
    if not (usable[1:] & usable[:-1]).any():
        keys = ("pacing_median_ms", "pacing_p99_ms")
        return {}, _without(keys, "two neighbouring frames", logged[usable])
    neighbours = slice(None) if usable.all() else usable[1:] & usable[:-1]
    with np.errstate(invalid="ignore"):  # infinite frames are left out one line on
        jumps = np.abs(np.diff(logged))[neighbours]
    n = jumps.size
    upper = np.sort(np.partition(jumps, (n - 1) * 99 // 100)[(n - 1) * 99 // 100 :])
    return {
        "pacing_median_ms": median(jumps),
        "pacing_p99_ms": _upper_quantile(upper, n, 100),
    }, {}
