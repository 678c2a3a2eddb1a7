"""A frame log into a Trace."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from evenhand.errors import BadLog, BadRecord
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.traces.column_units import in_unit
from evenhand.traces.flaws import place
from evenhand.traces.frame_flaws import find_flaws, find_flaws_of_clock, note_copies
from evenhand.traces.limits import DEFAULT_LIMITS, Limits
from evenhand.traces.past_belief import without_them
from evenhand.traces.probe import PREVIEW_ROWS, Probe, probe
from evenhand.traces.reading import Named, read_columns
from evenhand.traces.tables import Floats
from evenhand.traces.times import read_times
from evenhand.traces.trace import Trace

MIN_FRAMES = 2  # one frame has no rate, no spread and no order


def read_frames(
    data: bytes, layout: Layout, *, name: str, limits: Limits = DEFAULT_LIMITS, seen: Probe | None = None
) -> Trace:
    r"""Frame times in ms, and the clock in s where the log has both.

    Where the log has only a clock, the frame times are its steps: one frame fewer than rows, `derived`.
    Nothing is repaired: unreadable fields and frames past belief are NaN, and everything odd is in `flaws`
    with its lines.
    `seen` is what `probe` saw of these bytes, where somebody has looked already.

    Raises BadLog where fewer than two frames can be read; BadRecord where the layout names no frames.

    >>> columns = (Column(header="frame [ms]", role=Role.FRAME_TIME, unit="ms"),)
    >>> layout = Layout(fingerprint="", kind=LogKind.FRAMES, columns=columns)
    >>> read_frames(b"frame [ms]\n16.7\n16.6\n", layout, name="a.csv").frame_times_ms.tolist()
    [16.7, 16.6]
    """
    given = _Columns(
        frame=layout.first(Role.FRAME_TIME),
        clock=layout.first(Role.ELAPSED),
        stamp=layout.first(Role.TIMESTAMP),
        processor=layout.first(Role.PROCESSOR_SHARE),
        graphics=layout.first(Role.GRAPHICS_SHARE),
    )
    if layout.kind is not LogKind.FRAMES or not (given.frame or given.clock or given.stamp):
        raise BadRecord(
            "the layout names neither frame time, elapsed time nor time of day",
            where=name,
            todo="say which column holds the frame time, the time elapsed or the time of day",
        )
    texts = [given.stamp] if given.stamp and not given.clock else []
    seen = seen or probe(data, name=name, limits=limits, max_rows=PREVIEW_ROWS)
    read = read_columns(data, given.numbers, texts, seen=seen, limits=limits)
    elapsed_s = _elapsed_s(read, given)
    trace = _derived(read, given, elapsed_s) if given.frame is None else _logged(read, given, elapsed_s)
    _refuse_too_few(trace, read, given)
    return trace


@dataclass(frozen=True, slots=True, kw_only=True)
class _Columns:
    """The columns of a layout that a frame log may have."""

    frame: Column | None
    clock: Column | None
    stamp: Column | None
    processor: Column | None
    graphics: Column | None

    @property
    def numbers(self) -> list[Column]:
        return [c for c in (self.frame, self.clock, self.processor, self.graphics) if c is not None]


def _elapsed_s(read: Named, given: _Columns) -> Floats | None:
    """The clock in seconds, as logged: its zero is the log's own."""
    table = read.table
    if given.clock is not None:
        return in_unit(read.numbers(given.clock), given.clock, per_unit=1.0, assumed="s", notes=table.notes)
    if given.stamp is None:
        return None
    return read_times(read.texts(given.stamp), given.stamp, places=table.places, notes=table.notes).seconds


def _in_ms(read: Named, column: Column | None) -> Floats | None:
    if column is None:
        return None
    return in_unit(read.numbers(column), column, per_unit=1e3, assumed="ms", notes=read.table.notes)


def _logged(read: Named, given: _Columns, elapsed_s: Floats | None) -> Trace:
    table, times_ms = read.table, _in_ms(read, given.frame)
    assert times_ms is not None
    times_ms = without_them(times_ms, 0, table.places, table.notes)
    find_flaws(times_ms, elapsed_s, table.places, table.notes)
    if elapsed_s is None:
        note_copies(times_ms, table)
    return Trace(
        frame_times_ms=times_ms,
        elapsed_s=elapsed_s,
        processor_ms=_in_ms(read, given.processor),
        graphics_ms=_in_ms(read, given.graphics),
        flaws=table.notes.flaws(),
    )


def _derived(read: Named, given: _Columns, elapsed_s: Floats | None) -> Trace:
    """Frames as steps of the clock; a share stands in the row that ends its frame."""
    assert elapsed_s is not None
    find_flaws_of_clock(elapsed_s, read.table.places, read.table.notes)
    processor_ms, graphics_ms = _in_ms(read, given.processor), _in_ms(read, given.graphics)
    steps_ms = without_them(np.diff(elapsed_s) * 1e3, 1, read.table.places, read.table.notes)
    return Trace(
        frame_times_ms=steps_ms,
        processor_ms=None if processor_ms is None else processor_ms[1:],
        graphics_ms=None if graphics_ms is None else graphics_ms[1:],
        derived=True,
        flaws=read.table.notes.flaws(),
    )


def _refuse_too_few(trace: Trace, read: Named, given: _Columns) -> None:
    usable = int(np.isfinite(trace.frame_times_ms).sum())
    if usable >= MIN_FRAMES:
        return
    table, column = read.table, given.frame or given.clock or given.stamp
    heard = trace.flaws[0] if trace.flaws else None
    said = f" ({heard.kind}, {heard.detail})" if heard else ""
    raise BadLog(
        f"{usable} usable {'frame' if usable == 1 else 'frames'} in {table.n:,} "
        f"{'row' if table.n == 1 else 'rows'}, at least {MIN_FRAMES} are needed{said}",
        where=place(table.probe.name, line=table.places.line(0), column=column.header if column else None),
        todo="record the run again, or check which column holds the frame time",
    )
