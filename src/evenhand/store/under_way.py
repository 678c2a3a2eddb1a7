"""Trials that rigs run just now: a row each, as it was last written down, until its record has come."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from datetime import datetime

from evenhand.records.trials import Outcome, Trial
from evenhand.records.under_way import UnderWay
from evenhand.store.rows import Row, as_text, legible, moment, upsert
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

# Of one rig only the last that it began can still be running.
_STANDING = (
    "key NOT IN (SELECT key FROM trials) AND given_up_at IS NULL AND rowid IN "
    "(SELECT max(rowid) FROM trials_under_way GROUP BY rig)"
)


def save_under_way(wb: Workbench, found: UnderWay) -> None:
    """Writes down how a trial stands that a rig runs."""
    with wb.writing() as conn:
        upsert(conn, "trials_under_way", _row(found), key="key")
        seal(conn, "trials_under_way", found.trial.key)


def _row(found: UnderWay) -> Row:
    trial = found.trial
    return {
        "key": trial.key, "setup": trial.setup, "part": trial.part, "clock_mhz": trial.clock_mhz,
        "voltage_mv": trial.voltage_mv, "load": trial.load, "planned_h": trial.planned_h,
        "settings": as_text(dict(trial.settings)), "room_c": trial.room_c, "rig": found.rig,
        "by": trial.by, "begun_at": found.begun_at.isoformat(), "heard_at": found.heard_at.isoformat(),
        "hours": trial.hours, "errors": trial.errors, "hottest_c": trial.hottest_c, "over": int(found.over),
        "stop_at": None if found.stop_at is None else found.stop_at.isoformat(), "stop_by": found.stop_by,
        "given_up_at": None if found.given_up_at is None else found.given_up_at.isoformat(),
        "given_up_why": found.given_up_why,
    }  # fmt: skip


def under_way(wb: Workbench, setups: Iterable[str]) -> tuple[UnderWay, ...]:
    """The trials of these setups that run as far as anybody knows, in the order in which they were begun."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT * FROM trials_under_way WHERE setup IN (SELECT value FROM json_each(?)) "  # noqa: S608
            f"AND {_STANDING} ORDER BY rowid",
            (as_text(tuple(setups)),),
        ).fetchall()
    return tuple(map(under_way_from, rows))


def stands(wb: Workbench, key: str) -> bool:
    """Whether the trial with this key runs as far as anybody knows."""
    with wb.reading() as conn:
        asked = f"SELECT 1 FROM trials_under_way WHERE key = ? AND {_STANDING}"  # noqa: S608
        return conn.execute(asked, (key,)).fetchone() is not None


def told_of(wb: Workbench, key: str) -> UnderWay | None:
    """What a rig told of the trial with this key, on record by now or not; None where none did."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM trials_under_way WHERE key = ?", (key,)).fetchone()
    return None if row is None else under_way_from(row)


def under_way_from(row: sqlite3.Row) -> UnderWay:
    """What a row holds. Raises StoreProblem where it holds nothing of the kind."""
    with legible(f"the trial under way {row['key']}"):
        return UnderWay(
            trial=Trial(
                key=row["key"], setup=row["setup"], part=row["part"], clock_mhz=row["clock_mhz"],
                voltage_mv=row["voltage_mv"], load=row["load"], hours=row["hours"], outcome=Outcome.STOPPED,
                planned_h=row["planned_h"], errors=row["errors"], settings=json.loads(row["settings"]),
                room_c=row["room_c"], hottest_c=row["hottest_c"], by=row["by"],
            ),
            rig=row["rig"],
            begun_at=datetime.fromisoformat(row["begun_at"]),
            heard_at=datetime.fromisoformat(row["heard_at"]),
            over=bool(row["over"]),
            stop_at=moment(row["stop_at"]),
            stop_by=row["stop_by"],
            given_up_at=moment(row["given_up_at"]),
            given_up_why=row["given_up_why"],
        )  # fmt: skip
