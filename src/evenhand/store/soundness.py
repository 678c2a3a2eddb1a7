"""What can be wrong inside a workbench, each kind found by a function that answers in sentences."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import datetime
from functools import partial
from typing import Any

from evenhand.errors import EvenhandError
from evenhand.records.layouts import LogKind
from evenhand.store import facts
from evenhand.store.decisions import decision_from
from evenhand.store.faults import fault_from
from evenhand.store.headers import key_of
from evenhand.store.migrations import MIGRATIONS, version
from evenhand.store.originals import unpack_original
from evenhand.store.problems import primary_code
from evenhand.store.rows import plain
from evenhand.store.runs import run_from
from evenhand.store.shelves import built
from evenhand.traces.codec import unpack

SHOWN = 20  # how many problems of one kind are listed

_SAID = {
    sqlite3.SQLITE_CORRUPT: "this place of the file is damaged",
    sqlite3.SQLITE_NOTADB: "this place of the file is damaged",
    sqlite3.SQLITE_ERROR: "the table, or one of its columns, is missing",
}
# What rows are called where table and key would not say it.
_NAMES = {
    "traces": "the trace of run {}",
    "measured": "the note when run {} was measured",
    "metrics": "the list of numbers of run {}",
    "triaged": "the note when run {} was judged",
    "study_runs": "the note which studies use run {}",
    "original_names": "the list of names of original {:.12}…",
    "history": "entry {} of the table history",
}
# What reading a damaged page may raise, from SQLite and from the bytes that it hands over.
DAMAGE = (sqlite3.DatabaseError, EvenhandError, ValueError, TypeError, LookupError)


def of_structure(conn: sqlite3.Connection) -> list[str]:
    """Damage to the pages and trees of the file."""
    try:
        rows = conn.execute(f"PRAGMA integrity_check({SHOWN})").fetchall()
    except DAMAGE as error:
        return [f"the structure of the file is damaged ({in_short(error)})"]
    return [f"the structure of the file is damaged ({row[0]})" for row in rows if row[0] != "ok"]


def of_references(conn: sqlite3.Connection) -> list[str]:
    """Rows that name something which is not there."""
    try:
        rows = conn.execute("PRAGMA foreign_key_check").fetchmany(SHOWN)
    except DAMAGE as error:
        return [f"the references between records cannot be followed ({in_short(error)})"]
    return [f"a row of {row['table']} names something missing from {row['parent']}" for row in rows]


def of_migrations(conn: sqlite3.Connection) -> list[str]:
    """A record of schema steps that does not fit the schema; an older schema is no damage."""
    number = version(conn)
    try:
        rows = conn.execute("SELECT number, name FROM migrations ORDER BY number").fetchall()
    except DAMAGE as error:
        return [f"the record of migrations cannot be read ({in_short(error)})"]
    applied, names = [row["number"] for row in rows], {step.number: step.name for step in MIGRATIONS}
    if applied != list(range(1, number + 1)):
        return [f"the record of migrations says {applied}, but the schema has version {number}"]
    return [
        f"the record of migration {row['number']} is not what Evenhand wrote"
        for row in rows
        if row["name"] != names.get(row["number"])
    ]


def of_records(conn: sqlite3.Connection) -> list[str]:
    """Records that cannot be read, or are not what history last said they are.

    SQLite has no checksum for the text and numbers in a row; history holds each record a second time.
    """
    found: list[str] = []
    for shelf in facts.SHELVES.values():
        found += _each(conn, shelf.table, shelf.key, partial(built, conn, shelf))
        found += _gone_from_shelf(conn, shelf.table, shelf.key)
    found += _each_header(conn)
    found += _each(conn, "runs", "id", run_from)
    found += _each(conn, "faults", "run", fault_from)
    found += _each(conn, "decisions", "id", decision_from)
    found += _each(conn, "results", "id", _result)
    return found


def _result(row: sqlite3.Row) -> datetime:
    answer = json.loads(row["body"])
    if not isinstance(answer, dict):
        raise TypeError
    return datetime.fromisoformat(row["at"])


def _each(
    conn: sqlite3.Connection, table: str, key: str, read: Callable[[sqlite3.Row], object]
) -> Iterator[str]:
    problems: list[str] = []
    remembered = _remembered(conn, table, problems)
    yield from problems
    try:
        for row in conn.execute(f"SELECT * FROM {table}"):  # noqa: S608
            yield from _of_row(name_of(table, row[key]), row, read, remembered.get(row[key], {}))
    except DAMAGE as error:
        yield f"the table {table} cannot be read to its end ({in_short(error)})"


def _remembered(conn: sqlite3.Connection, table: str, problems: list[str]) -> dict[str, dict[str, Any]]:
    """What history last said of each record of a table, by key; what cannot be read goes into `problems`."""
    found: dict[str, dict[str, Any]] = {}
    try:
        for row in conn.execute('SELECT * FROM history WHERE "table" = ? ORDER BY id', (table,)):
            try:
                _refuse_no_text(row)
                found[row["key"]] = json.loads(row["after"])
            except DAMAGE as error:
                problems.append(f"entry {row['id']} of the table history cannot be read ({in_short(error)})")
                found.pop(row["key"], None)
    except DAMAGE as error:
        problems.append(f"the table history cannot be read to its end ({in_short(error)})")
    return found


def _gone_from_shelf(conn: sqlite3.Connection, table: str, key: str) -> Iterator[str]:
    """Records that history knows and that are not there: none is ever deleted."""
    rows = f'SELECT DISTINCT key FROM history WHERE "table" = ? AND key NOT IN (SELECT {key} FROM {table})'  # noqa: S608
    # A table that cannot be read has been told of already.
    with suppress(*DAMAGE):
        yield from (f"{table} '{row[0]}' is gone" for row in conn.execute(rows, (table,)).fetchmany(SHOWN))


def _each_header(conn: sqlite3.Connection) -> Iterator[str]:
    """Headers for which another layout stands than history last said."""
    try:
        rows = conn.execute("SELECT * FROM headers").fetchall()
        now = {key_of(row["header"], LogKind(row["kind"])): row["layout"] for row in rows}
    except DAMAGE as error:
        yield f"the table headers cannot be read to its end ({in_short(error)})"
        return
    remembered = _remembered(conn, "headers", [])
    for key in dict.fromkeys((*now, *remembered)):
        if now.get(key) != remembered.get(key, {}).get("layout"):
            yield f"the layout that stands for the header '{key}' is not what history last said"


def name_of(table: str, key: object) -> str:
    """What the rows of one key are called in a sentence."""
    return _NAMES.get(table, f"{table} '{{}}'").format(key)


def any_text(content: bytes) -> str:
    """Text as it is stored, also where it is none: the check tells of it and reads on."""
    return content.decode("utf-8", "surrogateescape")


def _refuse_no_text(row: sqlite3.Row) -> None:
    for value in row:
        if isinstance(value, str):
            value.encode("utf-8")  # raises where `any_text` had to stand in for what is none


def _of_row(
    name: str, row: sqlite3.Row, read: Callable[[sqlite3.Row], object], remembered: dict[str, Any]
) -> Iterator[str]:
    try:
        _refuse_no_text(row)
        now = plain(read(row))
    except DAMAGE as error:
        yield f"{name} cannot be read ({in_short(error)})"
        return
    # A field that is newer than the entry in history has nothing to be held against.
    changed = [field for field, value in remembered.items() if field in now and now[field] != value]
    if changed:
        yield f"{name} is not what history last said: {', '.join(changed)}"


def keys(conn: sqlite3.Connection, table: str, key: str, problems: list[str]) -> list[str]:
    """All keys of a table; where they cannot be listed, says so in `problems`."""
    try:
        return [row[0] for row in conn.execute(f"SELECT {key} FROM {table} ORDER BY rowid")]  # noqa: S608
    except DAMAGE as error:
        problems.append(f"the list of {table} cannot be read ({in_short(error)})")
        return []


def of_original(conn: sqlite3.Connection, digest: str) -> list[str]:
    """Whether one original gives back the bytes of its hash."""
    name = f"original {str(digest)[:12]}…"
    try:
        row = conn.execute("SELECT raw_bytes, packed FROM originals WHERE digest = ?", (digest,)).fetchone()
        if row is None:
            return [f"{name} is listed but not found"]
        content = unpack_original(row["packed"])
    except DAMAGE as error:
        return [f"{name} cannot be read ({in_short(error)})"]
    if hashlib.sha256(content).hexdigest() != digest:
        return [f"{name} does not give back the bytes of its hash"]
    if len(content) != row["raw_bytes"]:
        return [f"{name} is noted with {row['raw_bytes']} bytes, and has {len(content)}"]
    return []


def of_trace(conn: sqlite3.Connection, run_id: str) -> list[str]:
    """Whether one trace unpacks."""
    try:
        row = conn.execute("SELECT packed FROM traces WHERE run = ?", (run_id,)).fetchone()
        if row is None:
            return [f"the trace of run {run_id} is listed but not found"]
        unpack(row["packed"])
    except DAMAGE as error:
        return [f"the trace of run {run_id} cannot be read ({in_short(error)})"]
    return []


def in_short(error: Exception) -> str:
    """What went wrong while reading, in a few words."""
    if isinstance(error, EvenhandError):
        return error.found
    if isinstance(error, UnicodeError) or "Could not decode" in str(error):
        return "it holds bytes that are no text"
    if isinstance(error, sqlite3.Error):
        return _SAID.get(primary_code(error), str(error))
    return "it does not hold what belongs there"
