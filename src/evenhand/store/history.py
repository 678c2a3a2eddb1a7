"""What each record was before, and when it changed."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from evenhand.errors import NotFound
from evenhand.store.rows import legible, note_change
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One change of one record: `before` is None where it was new. Both are the record's fields as JSON.

    `id` is its place in the order of all changes.
    """

    id: int
    table: str
    key: str
    before: Mapping[str, Any] | None
    after: Mapping[str, Any]
    at: datetime


def history_of(wb: Workbench, table: str, key: str) -> tuple[Change, ...]:
    """The changes of one record, the first first; `table` as in docs/formats-workbench.md."""
    with wb.reading() as conn:
        rows = conn.execute('SELECT * FROM history WHERE "table" = ? AND key = ? ORDER BY id', (table, key))
        return tuple(_change(row) for row in rows)


def change(wb: Workbench, number: int) -> Change:
    """The change with this number. Raises NotFound."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM history WHERE id = ?", (number,)).fetchone()
    if row is None:
        raise NotFound(f"no change has the number {number}", where=str(wb.path), todo="look at the history")
    return _change(row)


def latest_change(wb: Workbench, table: str, key: str) -> int:
    """The number of the last change of a record; 0 where it never came in."""
    with wb.reading() as conn:
        found = conn.execute(
            'SELECT max(id) FROM history WHERE "table" = ? AND key = ?', (table, key)
        ).fetchone()[0]
    return int(found or 0)


def arrivals_of(wb: Workbench, study: str) -> tuple[Change, ...]:
    """When each run came into a study, the first first; their keys are the runs' ids."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT * FROM history WHERE \"table\" = 'study_runs' AND before IS NULL ORDER BY id"
        )
        return tuple(each for each in map(_change, rows) if each.after["study"] == study)


def run_changes_of(wb: Workbench, study: str) -> tuple[Change, ...]:
    """What was changed of a study's runs since they came in, and of their place in it, the first first."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT history.* FROM study_runs JOIN history ON history.key = study_runs.run"
            " AND history.\"table\" IN ('runs', 'study_runs') AND history.before IS NOT NULL"
            " WHERE study_runs.study = ? ORDER BY history.id",
            (study,),
        )
        found = tuple(map(_change, rows))
    # A run's place in another study is that study's affair.
    return tuple(each for each in found if each.table == "runs" or each.after["study"] == study)


def note_past(
    wb: Workbench, table: str, key: str, *, before: object | None, after: object, at: datetime
) -> None:
    """Adds what happened on another workbench to a record that is not on this one yet."""
    with wb.writing() as conn:
        note_change(conn, table, key, before=before, after=after, at=at)


def _change(row: sqlite3.Row) -> Change:
    with legible(f"the history of {row['table']} '{row['key']}'"):
        return Change(
            id=row["id"],
            table=row["table"],
            key=row["key"],
            before=None if row["before"] is None else json.loads(row["before"]),
            after=json.loads(row["after"]),
            at=datetime.fromisoformat(row["at"]),
        )
