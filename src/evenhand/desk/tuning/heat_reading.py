"""A temperature log of a tuned part as it was read: its rows, and whose they are."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from evenhand.errors import BadLog
from evenhand.records.heat import LoggedHeat
from evenhand.records.layouts import Layout, Role
from evenhand.stats.spread import Floats
from evenhand.store import originals, shelves
from evenhand.store.workbench import Workbench
from evenhand.traces.sensors import SENSOR_ROLES, read_sensors
from evenhand.traces.trace import Channel, SensorLog
from evenhand.tuning.heat_log import HeatLog, heat_log
from evenhand.tuning.throttled import Throttled, throttled

MOST_ROWS = 100_000  # more than a day of seconds


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeatRead:
    """The rows of a log that are a part's: each of shape (n,); nan where nothing was read.

    `watts`, `fan` and `clock` are None where the log has no such column; `room_c` where nobody wrote it down.
    `twice` counts rows that were left out since the one before has the same time.
    """

    name: str
    time_s: Floats
    temperature_c: Floats
    watts: Floats | None
    room_c: Floats | None
    fan: Floats | None
    clock: Floats | None
    twice: int = 0

    @property
    def warmed(self) -> HeatLog:
        """The log made ready for a fit. Raises BadLog where that cannot be."""
        if self.watts is None:
            raise BadLog("no column says what the part drew", where=self.name,
                         todo="name the column of its watts, or record them beside it")  # fmt: skip
        return heat_log(self.time_s, self.temperature_c, self.watts, self.room_c, where=self.name)

    @property
    def fan_kept(self) -> Floats | None:
        """The fan in the rows that `warmed` keeps: those that tell watts."""
        if self.fan is None or self.watts is None:
            return None
        return self.fan[np.isfinite(self.watts)]

    def fell(self) -> Throttled | None:
        """The largest fall of the part's clock under load, and what it read just before; None without any."""
        if self.clock is None:
            return None
        told = ((Role.CLOCK, "MHz", self.clock), (Role.TEMPERATURE, "°C", self.temperature_c),
                (Role.POWER, "W", self.watts))  # fmt: skip
        channels = tuple(
            Channel(role=role, about="part", unit=unit, values=values)
            for role, unit, values in told
            if values is not None
        )
        return throttled(SensorLog(time_s=self.time_s, channels=channels))


def read_heat(wb: Workbench, heat: LoggedHeat) -> HeatRead:
    """A log as it is on record. Raises BadLog where it cannot be read, or holds no row in its seconds."""
    layout = shelves.one(wb, Layout, heat.layout)
    name = (*originals.names(wb, heat.log), "the log")[0]
    log = read_sensors(originals.original(wb, heat.log), layout, name=name)
    by_header = _channels(layout, log)

    def column(header: str) -> Floats | None:
        channel = by_header.get(header)
        return None if channel is None else channel.values

    warm = column(heat.columns.temperature)
    if warm is None:
        raise BadLog(f"no column '{heat.columns.temperature}' was read", where=name,
                     todo="take the log back, and say which column is the temperature")  # fmt: skip
    room = column(heat.columns.room)
    if room is None and heat.room_c is not None:
        room = np.full(log.time_s.shape, heat.room_c)
    whole = HeatRead(
        name=name, time_s=log.time_s, temperature_c=warm, watts=column(heat.columns.watts), room_c=room,
        fan=column(heat.columns.fan), clock=column(heat.columns.clock),
    )  # fmt: skip
    return _own(whole, heat)


def _channels(layout: Layout, log: SensorLog) -> dict[str, Channel]:
    """The channels by the headers of their columns: a sensor log has them in the order of the layout's."""
    columns = [column for column in layout.columns if column.role in SENSOR_ROLES]
    return {column.header: channel for column, channel in zip(columns, log.channels, strict=True)}


def _own(whole: HeatRead, heat: LoggedHeat) -> HeatRead:
    """The seconds that are the part's, without rows of no time and those that repeat the time before."""
    time = whole.time_s
    kept = np.isfinite(time)
    kept &= time >= (heat.from_s or 0.0)
    if heat.to_s is not None:
        kept &= time <= heat.to_s
    if not kept.any():
        raise BadLog("no row lies in the seconds that were named", where=whole.name,
                     todo="note it again with other seconds")  # fmt: skip
    rows = np.flatnonzero(kept)
    twice = np.flatnonzero(np.diff(time[rows]) == 0) + 1
    rows = np.delete(rows, twice)

    if rows.size > MOST_ROWS:
        raise BadLog(f"{rows.size:,} rows are more than can be fitted in seconds", where=whole.name,
                     todo="note it again with only some of its seconds")  # fmt: skip

    def cut(values: Floats | None) -> Floats | None:
        return None if values is None else values[rows]

    return replace(
        whole, time_s=time[rows] - time[rows[0]], temperature_c=whole.temperature_c[rows],
        watts=cut(whole.watts), room_c=cut(whole.room_c), fan=cut(whole.fan), clock=cut(whole.clock),
        twice=int(twice.size),
    )  # fmt: skip
