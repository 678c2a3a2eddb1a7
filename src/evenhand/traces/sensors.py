"""A sensor log into a SensorLog."""

from __future__ import annotations

from datetime import datetime

import numpy as np

from evenhand.errors import BadLog, BadRecord
from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.traces.column_units import QUANTITIES, in_unit, own_unit
from evenhand.traces.flaws import CLOCK_GOES_BACK, DUPLICATED_ROW, GAP, FlawNotes, place
from evenhand.traces.frame_flaws import repeated_rows
from evenhand.traces.limits import DEFAULT_LIMITS, Limits
from evenhand.traces.probe import probe
from evenhand.traces.reading import Named, read_columns
from evenhand.traces.tables import Floats, RowPlaces
from evenhand.traces.times import read_times
from evenhand.traces.trace import Channel, SensorLog
from evenhand.units import OWN_UNITS

SENSOR_ROLES = frozenset(
    {Role.CLOCK, Role.TEMPERATURE, Role.POWER, Role.LOAD, Role.FAN, Role.MEMORY, Role.VOLTAGE}
)
GAP_STEPS = 3.0  # usual steps between readings: one late reading is no gap


def read_sensors(data: bytes, layout: Layout, *, name: str, limits: Limits = DEFAULT_LIMITS) -> SensorLog:
    r"""Sensor readings in the own unit of each quantity, over seconds from the first reading.

    Raises BadLog where no reading can be used; BadRecord where the layout names no time or no sensor.

    >>> columns = (Column(header="time", role=Role.TIMESTAMP, unit="UTC"),
    ...            Column(header="board [W]", role=Role.POWER, unit="W", about="board"))
    >>> layout = Layout(fingerprint="", kind=LogKind.SENSORS, columns=columns)
    >>> text = b"time,board [W]\n2031-05-04 10:00:00,80\n2031-05-04 10:00:01,90\n"
    >>> log = read_sensors(text, layout, name="a.csv")
    >>> log.time_s.tolist(), log.channels[0].values.tolist(), log.started_at.isoformat()
    ([0.0, 1.0], [80.0, 90.0], '2031-05-04T10:00:00+00:00')
    """
    clock, stamp = layout.first(Role.ELAPSED), layout.first(Role.TIMESTAMP)
    sensors = [c for c in layout.columns if c.role in SENSOR_ROLES]
    if layout.kind is not LogKind.SENSORS or not sensors or not (clock or stamp):
        raise BadRecord(
            "the layout names no time or no sensor",
            where=name,
            todo="say which column holds the time and which hold readings",
        )
    numbers = [c for c in (clock, *sensors) if c is not None]
    seen = probe(data, name=name, limits=limits)
    read = read_columns(data, numbers, [stamp] if stamp else [], seen=seen, limits=limits)
    time_s, started_at = _time(read, clock, stamp)
    channels = tuple(_channel(read, c) for c in sensors)
    if not any(np.isfinite(c.values[np.isfinite(time_s)]).any() for c in channels):
        raise BadLog(
            f"none of the {len(channels)} sensors has a reading with a time, in {read.table.n:,} rows",
            where=place(name, line=read.table.places.line(0), column=sensors[0].header),
            todo="check which columns hold readings",
        )
    _note_time(time_s, channels, read.table.places, read.table.notes)
    return SensorLog(time_s=time_s, channels=channels, started_at=started_at, flaws=read.table.notes.flaws())


def _time(read: Named, clock: Column | None, stamp: Column | None) -> tuple[Floats, datetime | None]:
    """Seconds from the first reading, by the elapsed column where there is one; the start by the stamps."""
    table = read.table
    stamped = None
    if stamp is not None:
        stamped = read_times(read.texts(stamp), stamp, places=table.places, notes=table.notes)
    started_at = None if stamped is None else stamped.started_at
    if clock is None and stamped is not None:
        return stamped.seconds, started_at
    assert clock is not None
    elapsed_s = in_unit(read.numbers(clock), clock, per_unit=1.0, assumed="s", notes=table.notes)
    known = elapsed_s[np.isfinite(elapsed_s)]
    return (elapsed_s - known[0] if known.size else elapsed_s), started_at


def _channel(read: Named, column: Column) -> Channel:
    notes = FlawNotes()  # the unit is asked for twice and remarked on once
    unit = own_unit(column, notes)
    assumed = OWN_UNITS[QUANTITIES[column.role]]
    values = in_unit(read.numbers(column), column, per_unit=1.0, assumed=assumed, notes=read.table.notes)
    return Channel(role=column.role, about=column.about, unit=unit, values=values)


def _note_time(time_s: Floats, channels: tuple[Channel, ...], places: RowPlaces, notes: FlawNotes) -> None:
    steps_s = np.diff(time_s)
    if not np.isfinite(steps_s).any():
        return
    usual = float(np.nanmedian(steps_s))
    holes = np.flatnonzero(steps_s > GAP_STEPS * usual) if usual > 0 else np.zeros(0, dtype=np.intp)
    if holes.size:
        remark = f"{float(steps_s[holes].max()):.3f} s at most, {usual:.3f} s is usual"
        notes.note_all(GAP, places.lines(holes + 1), remark=remark)
    if np.nanmin(steps_s) <= 0:
        notes.note_all(CLOCK_GOES_BACK, places.lines(np.flatnonzero(steps_s < 0) + 1))
        twice = repeated_rows(np.column_stack([time_s, *(c.values for c in channels)]))
        notes.note_all(DUPLICATED_ROW, places.lines(np.flatnonzero(twice)))
