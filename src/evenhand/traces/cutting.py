"""The part of a trace, and of the sensors beside it, that lies in a measured window."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from evenhand.records.windows import Window
from evenhand.traces.tables import Bools, Floats
from evenhand.traces.trace import SensorLog, Trace
from evenhand.traces.windows import between


def cut(trace: Trace, window: Window) -> Trace:
    """The frames that begin in the window, each as logged; the trace itself where nothing is cut.

    What was found wrong in the log as a whole stays with every part of it.

    >>> trace = Trace(frame_times_ms=np.full(6, 500.0))
    >>> cut(trace, Window(start_s=0.5, end_s=2.0)).frame_times_ms.size, cut(trace, Window()) is trace
    (3, True)
    """
    if window.whole:
        return trace
    inside = held(trace, window)
    return replace(
        trace,
        frame_times_ms=trace.frame_times_ms[inside],
        elapsed_s=_of(trace.elapsed_s, inside),
        processor_ms=_of(trace.processor_ms, inside),
        graphics_ms=_of(trace.graphics_ms, inside),
    )


def held(trace: Trace, window: Window) -> Bools:
    """Which frames, shape (n,), begin in the window."""
    low, high = window.sides
    begins_s = begins_of(trace)
    return np.asarray((begins_s >= low) & (begins_s < high))


def begins_of(trace: Trace) -> Floats:
    """When each frame begins, shape (n,), seconds from the first; a field without a time lasts nothing."""
    ends_s = np.cumsum(_told_ms(trace)) / 1000
    return np.asarray(np.concatenate(([0.0], ends_s[:-1]))[: ends_s.size])


def length_s(trace: Trace) -> float:
    """How long the frames last together, in seconds."""
    return float(_told_ms(trace).sum()) / 1000


def begins_s(trace: Trace, window: Window) -> float:
    """When the first frame in the window begins, seconds into the log; the start where none does."""
    inside = begins_of(trace)[held(trace, window)]
    return float(inside[0]) if inside.size else window.sides[0]


def cut_sensors(log: SensorLog, trace: Trace | None, window: Window) -> SensorLog:
    """The readings of a run, their time counted from its start, as far as they lie beside what is measured.

    Their time counts from the first measured frame then.
    """
    if trace is None or window.whole:
        return log
    part = cut(trace, window)
    start_s = begins_s(trace, window)
    # As before a cut, what was read while the last frame lasted is read of the run; a log may go on after it.
    open_end = window.end_s is None or window.end_s >= length_s(trace)
    return between(log, start_s, np.inf if open_end else start_s + length_s(part))


def _told_ms(trace: Trace) -> Floats:
    times = trace.frame_times_ms
    return np.where(np.isfinite(times) & (times > 0), times, 0.0)


def _of(values: Floats | None, inside: Bools) -> Floats | None:
    return None if values is None else values[inside]
