"""What can be wrong inside a workbench, each kind found by a function that answers in sentences."""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Callable, Iterator, Sequence
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
from evenhand.store.migrations import version
from evenhand.store.originals import unpack_original
from evenhand.store.problems import primary_code
from evenhand.store.rows import plain
from evenhand.store.runs import run_from
from evenhand.store.seals import SEALED, as_it_is, as_sealed
from evenhand.store.shelves import built
from evenhand.traces.codec import unpack

SHOWN = 20  # how many problems of one kind are listed
SEALED_SINCE = 3  # the schema step that brought seals

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
_DAMAGE = (sqlite3.DatabaseError, EvenhandError, ValueError, TypeError, LookupError)


def of_structure(conn: sqlite3.Connection) -> list[str]:
    """Damage to the pages and trees of the file."""
    try:
        rows = conn.execute(f"PRAGMA integrity_check({SHOWN})").fetchall()
    except _DAMAGE as error:
        return [f"the structure of the file is damaged ({_short(error)})"]
    return [f"the structure of the file is damaged ({row[0]})" for row in rows if row[0] != "ok"]


def of_references(conn: sqlite3.Connection) -> list[str]:
    """Rows that name something which is not there."""
    try:
        rows = conn.execute("PRAGMA foreign_key_check").fetchmany(SHOWN)
    except _DAMAGE as error:
        return [f"the references between records cannot be followed ({_short(error)})"]
    return [f"a row of {row['table']} names something missing from {row['parent']}" for row in rows]


def of_migrations(conn: sqlite3.Connection) -> list[str]:
    """A record of schema steps that does not fit the schema; an older schema is no damage."""
    number = version(conn)
    try:
        applied = [row[0] for row in conn.execute("SELECT number FROM migrations ORDER BY number")]
    except _DAMAGE as error:
        return [f"the record of migrations cannot be read ({_short(error)})"]
    if applied != list(range(1, number + 1)):
        return [f"the record of migrations says {applied}, but the schema has version {number}"]
    return []


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
            yield from _of_row(_name(table, row[key]), row, read, remembered.get(row[key], {}))
    except _DAMAGE as error:
        yield f"the table {table} cannot be read to its end ({_short(error)})"


def _remembered(conn: sqlite3.Connection, table: str, problems: list[str]) -> dict[str, dict[str, Any]]:
    """What history last said of each record of a table, by key; what cannot be read goes into `problems`."""
    found: dict[str, dict[str, Any]] = {}
    try:
        for row in conn.execute('SELECT * FROM history WHERE "table" = ? ORDER BY id', (table,)):
            try:
                _refuse_no_text(row)
                found[row["key"]] = json.loads(row["after"])
            except _DAMAGE as error:
                problems.append(f"entry {row['id']} of the table history cannot be read ({_short(error)})")
                found.pop(row["key"], None)
    except _DAMAGE as error:
        problems.append(f"the table history cannot be read to its end ({_short(error)})")
    return found


def _gone_from_shelf(conn: sqlite3.Connection, table: str, key: str) -> Iterator[str]:
    """Records that history knows and that are not there: none is ever deleted."""
    rows = f'SELECT DISTINCT key FROM history WHERE "table" = ? AND key NOT IN (SELECT {key} FROM {table})'  # noqa: S608
    # A table that cannot be read has been told of already.
    with suppress(*_DAMAGE):
        yield from (f"{table} '{row[0]}' is gone" for row in conn.execute(rows, (table,)).fetchmany(SHOWN))


def _each_header(conn: sqlite3.Connection) -> Iterator[str]:
    """Headers for which another layout stands than history last said."""
    try:
        rows = conn.execute("SELECT * FROM headers").fetchall()
        now = {key_of(row["header"], LogKind(row["kind"])): row["layout"] for row in rows}
    except _DAMAGE as error:
        yield f"the table headers cannot be read to its end ({_short(error)})"
        return
    remembered = _remembered(conn, "headers", [])
    for key in dict.fromkeys((*now, *remembered)):
        if now.get(key) != remembered.get(key, {}).get("layout"):
            yield f"the layout that stands for the header '{key}' is not what history last said"


def of_seals(conn: sqlite3.Connection, known: Sequence[str] = ()) -> list[str]:
    """Rows that are not what was written, are gone, or were not written by Evenhand.

    Rows that `known` problems tell of are not told twice.
    """
    if version(conn) < SEALED_SINCE:
        return []
    if _all_gone(conn):
        return ["the table seals is empty: what was changed elsewhere cannot be told"]
    found: list[str] = []
    for table in SEALED:
        try:
            now, sealed = dict(as_it_is(conn, table)), as_sealed(conn, table)
        except _DAMAGE as error:
            found.append(f"the table {table}, or its seals, cannot be read to its end ({_short(error)})")
            continue
        odd = {key: _odd(now.get(key), sealed.get(key)) for key in dict.fromkeys((*sealed, *now))}
        names = {_name(table, key): words for key, words in odd.items() if words}
        new = [f"{name} {words}" for name, words in names.items() if not _told_of(name, known)]
        found += new[:SHOWN]
        if len(new) > SHOWN:
            found.append(f"and {len(new) - SHOWN:,} more of the table {table}")
    return found


def _all_gone(conn: sqlite3.Connection) -> bool:
    with suppress(*_DAMAGE):
        sealed, written = conn.execute(
            "SELECT EXISTS (SELECT 1 FROM seals), EXISTS (SELECT 1 FROM history)"
        ).fetchone()
        return bool(written) and not sealed
    return False


def _told_of(name: str, known: Sequence[str]) -> bool:
    return any(problem.startswith(f"{name} ") for problem in known)


def _name(table: str, key: object) -> str:
    """What the rows of one key are called in a sentence."""
    return _NAMES.get(table, f"{table} '{{}}'").format(key)


def _odd(now: str | None, sealed: str | None) -> str:
    if now == sealed:
        return ""
    if now is None:
        return "is gone"
    return "was not written by Evenhand" if sealed is None else "is not what Evenhand wrote"


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
    except _DAMAGE as error:
        yield f"{name} cannot be read ({_short(error)})"
        return
    # A field that is newer than the entry in history has nothing to be held against.
    changed = [field for field, value in remembered.items() if field in now and now[field] != value]
    if changed:
        yield f"{name} is not what history last said: {', '.join(changed)}"


def keys(conn: sqlite3.Connection, table: str, key: str, problems: list[str]) -> list[str]:
    """All keys of a table; where they cannot be listed, says so in `problems`."""
    try:
        return [row[0] for row in conn.execute(f"SELECT {key} FROM {table} ORDER BY rowid")]  # noqa: S608
    except _DAMAGE as error:
        problems.append(f"the list of {table} cannot be read ({_short(error)})")
        return []


def of_original(conn: sqlite3.Connection, digest: str) -> list[str]:
    """Whether one original gives back the bytes of its hash."""
    name = f"original {str(digest)[:12]}…"
    try:
        row = conn.execute("SELECT packed FROM originals WHERE digest = ?", (digest,)).fetchone()
        if row is None:
            return [f"{name} is listed but not found"]
        found = hashlib.sha256(unpack_original(row["packed"])).hexdigest()
    except _DAMAGE as error:
        return [f"{name} cannot be read ({_short(error)})"]
    return [] if found == digest else [f"{name} does not give back the bytes of its hash"]


def of_trace(conn: sqlite3.Connection, run_id: str) -> list[str]:
    """Whether one trace unpacks."""
    try:
        row = conn.execute("SELECT packed FROM traces WHERE run = ?", (run_id,)).fetchone()
        if row is None:
            return [f"the trace of run {run_id} is listed but not found"]
        unpack(row["packed"])
    except _DAMAGE as error:
        return [f"the trace of run {run_id} cannot be read ({_short(error)})"]
    return []


def _short(error: Exception) -> str:
    if isinstance(error, EvenhandError):
        return error.found
    if isinstance(error, UnicodeError) or "Could not decode" in str(error):
        return "it holds bytes that are no text"
    if isinstance(error, sqlite3.Error):
        return _SAID.get(primary_code(error), str(error))
    return "it does not hold what belongs there"
