"""Parts, builds, setups, tests, layouts and studies: one shelf each, one mechanism for all.

`save` stores a record, `one` fetches it by key, `every` lists a shelf in order of arrival.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from datetime import datetime
from typing import TypeVar, cast

from evenhand.errors import NotFound, nearest
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.layouts import Layout
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import facts
from evenhand.store.facts import Shelf
from evenhand.store.rows import Saved, as_text, legible, note_change, replace_all, upsert
from evenhand.store.workbench import Workbench

R = TypeVar("R", bound=Part | Build | Setup | Test | Layout | Study)


def save(wb: Workbench, record: R, *, now: datetime) -> Saved:
    """Stores a record under its key, and in history what it replaced.

    Raises BadRecord where it names something that is not on record.

    >>> import tempfile; from datetime import UTC; from pathlib import Path
    >>> from evenhand.store.workbench import open_workbench
    >>> day = datetime(2031, 5, 4, tzinfo=UTC)
    >>> graphics = Part(key="osk-9", kind="graphics", name="Osk 9")
    >>> with open_workbench(Path(tempfile.mkdtemp()) / "bench.evenhand") as wb:
    ...     print(save(wb, graphics, now=day), save(wb, graphics, now=day), one(wb, Part, "osk-9").name)
    new same Osk 9
    """
    shelf = _shelf(type(record))
    row = shelf.row(record)
    key = str(row[shelf.key])
    with wb.writing() as conn:
        before = _find(conn, shelf, key)
        if before == record:
            return Saved.SAME
        upsert(conn, shelf.table, row, key=shelf.key)
        for side in shelf.sides:
            replace_all(conn, side.table, (side.owner, key), side.rows(record))
        note_change(conn, shelf.table, key, before=before, after=record, at=now)
    return Saved.NEW if before is None else Saved.CHANGED


def one(wb: Workbench, kind: type[R], key: str) -> R:
    """The record of this kind under this key. Raises NotFound with the nearest key known."""
    shelf = _shelf(kind)
    with wb.reading() as conn:
        found = _find(conn, shelf, key)
        if found is None:
            keys = [row[0] for row in conn.execute(f"SELECT {shelf.key} FROM {shelf.table}")]  # noqa: S608
            todo = nearest(key, keys) if keys else f"no {shelf.noun} has been stored yet"
            raise NotFound(f"no {shelf.noun} is called '{key}'", where=str(wb.path), todo=todo)
    return found


def some(wb: Workbench, kind: type[R], keys: Iterable[str]) -> dict[str, R]:
    """The records of this kind under these keys, in their order, in one query. Raises NotFound as `one`."""
    shelf, wanted = _shelf(kind), tuple(dict.fromkeys(keys))
    with wb.reading() as conn:
        rows = conn.execute(
            f"SELECT * FROM {shelf.table} WHERE {shelf.key} IN (SELECT value FROM json_each(?))",  # noqa: S608
            (as_text(wanted),),
        ).fetchall()
        found = {row[shelf.key]: built(conn, shelf, row) for row in rows}
        return {key: found[key] if key in found else one(wb, kind, key) for key in wanted}


def every(wb: Workbench, kind: type[R]) -> tuple[R, ...]:
    """All records of this kind, in order of arrival."""
    shelf = _shelf(kind)
    with wb.reading() as conn:
        rows = conn.execute(f"SELECT * FROM {shelf.table} ORDER BY rowid").fetchall()  # noqa: S608
        return tuple(built(conn, shelf, row) for row in rows)


def _shelf(kind: type[R]) -> Shelf[R]:
    return cast("Shelf[R]", facts.SHELVES[kind])


def _find(conn: sqlite3.Connection, shelf: Shelf[R], key: str) -> R | None:
    row = conn.execute(f"SELECT * FROM {shelf.table} WHERE {shelf.key} = ?", (key,)).fetchone()  # noqa: S608
    return None if row is None else built(conn, shelf, row)


def built(conn: sqlite3.Connection, shelf: Shelf[R], row: sqlite3.Row) -> R:
    """The record that a row and the rows beside it hold. Raises StoreProblem where they hold none."""
    sides = tuple(
        conn.execute(
            f"SELECT * FROM {side.table} WHERE {side.owner} = ? ORDER BY position",  # noqa: S608
            (row[shelf.key],),
        ).fetchall()
        for side in shelf.sides
    )
    with legible(f"{shelf.noun} {row[shelf.key]}"):
        return shelf.record(row, sides)
