"""Temperature logs of tuned parts: only added to, each once by its key; what is taken back counts no more."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import asdict, replace
from datetime import datetime

from evenhand.errors import BadRecord, NotFound
from evenhand.records.heat import HeatColumns, LoggedHeat
from evenhand.records.trials import Meter
from evenhand.records.turns import Turn
from evenhand.store.rows import as_text, legible, moment
from evenhand.store.taking_back import Ledger
from evenhand.store.workbench import Workbench

LOGS = Ledger(table="heat_logs", back="heat_logs_taken_back", noun="heat_log")


def add_heat(wb: Workbench, heat: LoggedHeat, *, at: datetime) -> LoggedHeat:
    """Puts a temperature log on record; it with its number. Its very key again is the one on record.

    Its bytes and its layout must be kept already. Raises BadRecord where it has no key.
    """
    if not heat.key:
        raise BadRecord("the log has no key of its own", where="a temperature log", todo="give it one")
    with wb.writing() as conn:
        row = conn.execute("SELECT * FROM heat_logs WHERE key = ?", (heat.key,)).fetchone()
        if row is not None:
            return heat_from(row)
        columns = as_text({**asdict(heat.columns), "watts_at": heat.watts_at.value})
        told = {
            "key": heat.key, "setup": heat.setup, "part": heat.part, "log": heat.log, "layout": heat.layout,
            "columns": columns, "room_c": heat.room_c, "from_s": heat.from_s,
            "to_s": heat.to_s, "clock_mhz": heat.clock_mhz, "voltage_mv": heat.voltage_mv,
            "settings": as_text(dict(heat.settings)),
            "logged_at": None if heat.at is None else heat.at.isoformat(), "note": heat.note, "by": heat.by,
            "at": at.isoformat(),
        }  # fmt: skip
        return replace(heat, id=LOGS.add(conn, told))


def take_back_heat(wb: Workbench, number: int, reason: str, *, at: datetime) -> LoggedHeat:
    """A log that was a mistake counts no more. Raises NotFound where none of this number counts."""
    row = LOGS.take_back(wb, number, at=at, todo="see the temperature logs of the part", reason=reason)
    return heat_from(row)


def heat_of(wb: Workbench, setups: Iterable[str], *, ever: bool = False) -> tuple[LoggedHeat, ...]:
    """Every log of these setups that counts, in order of arrival; with `ever` those taken back, too."""
    with wb.reading() as conn:
        rows = LOGS.rows_of(conn, "setup", setups, ever=ever, order="id")
    return tuple(map(heat_from, rows))


def heat_numbered(wb: Workbench, number: int) -> LoggedHeat:
    """A log, taken back or not. Raises NotFound."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM heat_logs WHERE id = ?", (number,)).fetchone()
    if row is None:
        todo = "see the temperature logs of the part"
        raise NotFound(f"there is no temperature log {number}", where=str(wb.path), todo=todo)
    return heat_from(row)


def turns(wb: Workbench) -> dict[int, tuple[Turn, ...]]:
    """By log when and why it was taken back."""
    with wb.reading() as conn:
        return LOGS.turns(conn)


def reasons(wb: Workbench) -> dict[int, str]:
    """Why logs were taken back, by their numbers."""
    return {log: own[-1].reason for log, own in turns(wb).items()}


def heat_from(row: sqlite3.Row) -> LoggedHeat:
    """The log that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"temperature log {row['id']}"):
        columns = json.loads(row["columns"])
        meter = Meter(columns.pop("watts_at", Meter.PART))
        return LoggedHeat(
            id=row["id"], key=row["key"], setup=row["setup"], part=row["part"], log=row["log"],
            layout=row["layout"], columns=HeatColumns(**columns), watts_at=meter, room_c=row["room_c"],
            from_s=row["from_s"], to_s=row["to_s"], clock_mhz=row["clock_mhz"], voltage_mv=row["voltage_mv"],
            settings=json.loads(row["settings"]), at=moment(row["logged_at"]), note=row["note"], by=row["by"],
        )  # fmt: skip
