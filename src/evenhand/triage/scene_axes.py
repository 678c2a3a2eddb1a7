"""What moves a scene on, and with it what two takes of it are laid over each other by."""

from __future__ import annotations

import math
from collections.abc import Iterator
from enum import Enum

import numpy as np

from evenhand.triage.curves import Curve, Floats, curve
from evenhand.triage.features import Features
from evenhand.triage.limits.course import CurveLimits
from evenhand.triage.view import CellView


class Axis(Enum):
    """A scene is played by the clock, by the clock but for hitches and pauses, or frame by frame.

    `SHARE` counts frames as parts of all of them: takes stopped by a clock hold not quite the same number.
    """

    TIME = "time"
    UNHITCHED = "time outside long frames"
    FRAMES = "frames"
    SHARE = "share of the frames"


BY_FRAMES = (Axis.FRAMES, Axis.SHARE)


def axes(run: Features, other: Features, view: CellView) -> Iterator[Axis]:
    """The axes along which these two might agree; time first.

    Frames only where both takes hold as many frames and yet do not last as long: a fixed number of frames.
    Where it is not quite the same number, parts of it are tried as well.
    """
    limits = view.limits.curve
    yield Axis.TIME
    if max(long_s(run, view), long_s(other, view)) >= limits.hitched_s:
        yield Axis.UNHITCHED
    counts, lengths = run.frames / other.frames, run.duration_s / other.duration_s
    more, longer = abs(math.log(counts)), abs(math.log(lengths))
    if more <= limits.same_count < longer:
        yield Axis.FRAMES
    if limits.same_count < longer and 0 < more <= min(limits.nearly_same_count, longer):
        yield Axis.SHARE


def counted_out(run: Features, other: Features, limits: CurveLimits) -> bool:
    """Whether two takes hold as many frames and yet last far apart: no clock has stopped both of them."""
    counts, lengths = run.frames / other.frames, run.duration_s / other.duration_s
    return abs(math.log(counts)) <= limits.same_count and abs(math.log(lengths)) > limits.other_length


def curve_along(run: Features, axis: Axis, view: CellView) -> Curve:
    """The course of a run along one axis, in seconds or frames; worked out once."""
    return view.prepared.as_long_as_the_run(
        run, f"curve by {axis.value}", 0, lambda: curve(run.log_ms, extents(run, axis), run.calm)
    )


def extents(run: Features, axis: Axis) -> Floats:
    """How far each frame moves the scene on, s (frames along `FRAMES`, parts of 1 along `SHARE`); (n,)."""
    if axis in BY_FRAMES:
        return np.ones(run.frames) if axis is Axis.FRAMES else np.full(run.frames, 1 / run.frames)
    seconds = run.frame_times_ms / 1000
    if axis is Axis.UNHITCHED and run.calm.any():
        calm, long = np.flatnonzero(run.calm), np.flatnonzero(~run.calm)
        seconds[long] = np.minimum(seconds[long], np.interp(long, calm, seconds[calm]))
    return seconds


def long_s(run: Features, view: CellView) -> float:
    """How long frames that do not follow the scene last in all, s; worked out once."""
    return view.prepared.derived(
        run, "long frames", 0, lambda: float(run.frame_times_ms[~run.calm].sum()) / 1000
    )


def seconds_at(run: Features, course: Curve, positions: Floats) -> Floats:
    """Seconds into the run at these places of a course of it."""
    if not run.frames:
        return positions
    return np.asarray(np.interp(positions, course.edges, run.edges_s))


def pace(run: Features, other: Features, axis: Axis) -> float:
    """Seconds of scene to one unit of the axis, for two runs laid over each other."""
    if axis not in BY_FRAMES:
        return 1.0
    units = run.frames * other.frames if axis is Axis.FRAMES else 1
    return math.sqrt(run.duration_s * other.duration_s / units)


def slow(run: Features, other: Features, limits: CurveLimits) -> bool:
    """Whether frames of these runs are so long that bins must be wide."""
    return max(run.median_ms, other.median_ms) > limits.slow_above_ms
