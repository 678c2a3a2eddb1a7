"""Temperature logs of tuned parts: which log it is, which of its columns are this part's, and the room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from datetime import datetime

from evenhand.records.trials import Meter


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatColumns:
    """Columns of a log by their headers as written: this part's temperature, and what goes with it.

    "" where the log has no such column, or nobody read it. `room` is the air that the machine draws in.
    """

    temperature: str
    watts: str = ""
    room: str = ""
    fan: str = ""
    clock: str = ""


HEAT_COLUMNS = tuple(each.name for each in fields(HeatColumns))
"""What a column of such a log may be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoggedHeat:
    """A temperature log of one part of a setup.

    `log` is the SHA-256 of its bytes as they came, `layout` the confirmed one by which these are read; a
    sensor log of a run on record is known by the same bytes. `watts_at` is where its watts were read.
    `room_c` is the air that the machine drew in where no column tells it; None where nobody read it. Only
    seconds from `from_s` to `to_s` of the log are this part's; None for its begin and its end. `clock_mhz`,
    `voltage_mv` and `settings` are what was set, where that is known; `settings` as the user names them
    ("power limit": "150 W"). `by` says who brought it: a rig's name, or "" by hand. `key` is this log's own.
    `id` is 0 until it is on record.
    """

    setup: str
    part: str
    log: str
    layout: str
    columns: HeatColumns
    watts_at: Meter = Meter.PART
    room_c: float | None = None
    from_s: float | None = None
    to_s: float | None = None
    clock_mhz: float | None = None
    voltage_mv: float | None = None
    settings: Mapping[str, str] = field(default_factory=dict)
    at: datetime | None = None
    note: str = ""
    by: str = ""
    key: str = ""
    id: int = 0
