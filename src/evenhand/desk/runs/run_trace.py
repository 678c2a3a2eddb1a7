"""A run's frames over time for a screen: thinned to columns, siblings as one ground, places of faults."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from evenhand.desk.logs.measuring import window_of
from evenhand.desk.logs.readings import UNREADABLE
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.runs.candidates import Loader
from evenhand.errors import BadRecord, NotFound
from evenhand.publish.figures.thinning import Floats, envelope, readable, turning_points
from evenhand.publish.numbers import capital
from evenhand.records.faults import Fault, Severity
from evenhand.records.tests import Measures
from evenhand.records.windows import Window as Measured
from evenhand.store import traces as trace_store
from evenhand.store.workbench import Workbench
from evenhand.traces.codec import unpack
from evenhand.traces.cutting import begins_s
from evenhand.traces.trace import Channel, SensorLog

COLUMNS, FEWEST, MOST = 700, 20, 4000
MOST_SIBLINGS = 12  # beyond these the ground hardly changes, and reading them takes its time
MOST_READINGS = 900


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """Which part of a run is wanted, in seconds from its start, and in how many columns; None: to its end."""

    from_s: float = 0.0
    to_s: float | None = None
    columns: int = COLUMNS


def trace_answer(wb: Workbench, record: StudyOnRecord, each: RunOnRecord, window: Window) -> dict[str, Any]:
    """The trace of a run as JSON. Raises NotFound where it has none, BadRecord for a window that is none."""
    test = record.tests[each.run.test]
    if test.measures is not Measures.FRAMES or UNREADABLE in each.metrics.absent:
        raise NotFound(
            "this run has no frames to draw", where=each.run.label, todo="name a run with a readable log"
        )
    siblings = siblings_of(record, each)
    packed = trace_store.packed_traces(wb, [each.run.id, *(one.run.id for one in siblings)])
    whole = {run: unpack(data) for run, data in packed.items()}
    frames = {run: readable(trace.frame_times_ms) for run, trace in whole.items()}
    own = frames.pop(each.run.id)
    if not own.size:
        raise NotFound("no frame of this run can be drawn", where=each.run.label, todo="look at its log")
    measured = window_of(test, each.run)
    found = in_the_log(each.faults, begins_s(whole[each.run.id], measured))
    answer = answer_of(wb, replace(each, faults=found), own, list(frames.values()), window)
    return {**answer, "measured": window_answer(measured, own=each.run.window is not None)}


def window_answer(window: Measured, *, own: bool) -> dict[str, Any]:
    """Which part of the log is measured; `own` where that is the run's own window and not its test's."""
    return {
        "start_s": window.start_s,
        "end_s": window.end_s,
        "reason": window.reason,
        "by": window.by,
        "own": own,
    }


def in_the_log(faults: Iterable[Fault], begins_s: float) -> tuple[Fault, ...]:
    """Faults with their places counted from the start of the log, of which measuring began at `begins_s`."""
    return tuple(
        replace(fault, places=tuple(place.later(begins_s) for place in fault.places)) for fault in faults
    )


def siblings_of(record: StudyOnRecord, each: RunOnRecord) -> list[RunOnRecord]:
    """The runs it is held against: those of its cell that count, as many as tell it."""
    cell = record.cell(each.run.test, each.run.setup)
    counting = [one for one in cell if one.state.counts and one.run.id != each.run.id]
    return [one for one in counting if UNREADABLE not in one.metrics.absent][:MOST_SIBLINGS]


def answer_of(
    wb: Workbench, each: RunOnRecord, own: Floats, siblings: Sequence[Floats], window: Window
) -> dict[str, Any]:
    """The answer from frames that are brought back already."""
    end_s = float(own.sum()) / 1000.0
    edges_s = edges_of(window, max([end_s, *(float(frames.sum()) / 1000.0 for frames in siblings)]))
    low, high = envelope(own, edges_s)
    ground = ground_of(siblings, edges_s)
    return {
        "run": each.run.id,
        "duration_s": end_s,
        "whole_s": max(end_s, float(edges_s[-1])),
        "time_s": list(map(float, (edges_s[:-1] + edges_s[1:]) / 2)),
        "low_ms": told(low),
        "high_ms": told(high),
        "siblings": len(siblings),
        "siblings_low_ms": told(ground[0]),
        "siblings_high_ms": told(ground[1]),
        "places": list(places_of(each.faults)),
        "sensors": [] if window.from_s or window.to_s else sensors_of(wb, each, own),
    }


def edges_of(window: Window, whole_s: float) -> Floats:
    """The edges of the columns, in seconds. Raises BadRecord for a part of the run that does not exist."""
    to_s = whole_s if window.to_s is None else min(window.to_s, whole_s)
    if not (np.isfinite(window.from_s) and 0 <= window.from_s < to_s):
        raise BadRecord(
            f"there is nothing between {window.from_s:g} s and {to_s:g} s",
            where="the part that was asked for",
            todo=f"ask for a part of 0 to {whole_s:g} s",
        )
    return np.linspace(window.from_s, to_s, min(max(window.columns, FEWEST), MOST) + 1)


def ground_of(siblings: Sequence[Floats], edges_s: Floats) -> tuple[Floats, Floats]:
    """Where any sibling went: the shortest and the longest frame of all of them, column by column."""
    found = [envelope(frames, edges_s) for frames in siblings if frames.size]
    nothing = np.full(edges_s.size - 1, np.nan)
    low, high = nothing, nothing
    for own_low, own_high in found:
        low, high = np.fmin(low, own_low), np.fmax(high, own_high)
    return low, high


def places_of(faults: Iterable[Fault]) -> Iterable[dict[str, Any]]:
    """Where in the run faults lie."""
    for fault in faults:
        for place in fault.places:
            yield {
                "kind": fault.kind,
                "title": fault.title,
                "note": fault.severity is Severity.NOTE,
                "from_s": place.from_s,
                "to_s": place.to_s,
            }


def sensors_of(wb: Workbench, each: RunOnRecord, own: Floats) -> list[dict[str, Any]]:
    """What sensors read during the run, where a log of theirs could be laid beside it."""
    loader = Loader(wb=wb, sensor_logs={})
    trace = unpack(trace_store.packed_trace(wb, each.run.id)) if own.size else None
    log, _ = loader.sensors(each, trace)
    return [] if log is None else [channel_of(log, channel) for channel in log.channels]


def channel_of(log: SensorLog, channel: Channel) -> dict[str, Any]:
    """One sensor over the run, thinned so that no extreme is lost."""
    kept = turning_points(np.asarray(channel.values, dtype=np.float64), MOST_READINGS)
    return {
        "words": capital(f"{channel.about} {channel.role.value}".strip()),
        "unit": channel.unit,
        "time_s": list(map(float, log.time_s[kept])),
        "values": told(np.asarray(channel.values, dtype=np.float64)[kept]),
    }


def told(values: Floats) -> list[float | None]:
    """Numbers for JSON, which has no spelling for one that is none."""
    return [float(value) if np.isfinite(value) else None for value in values]
