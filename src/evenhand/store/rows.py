"""Rows in and out: values as SQLite holds them, one careful insert, and the change log of records."""

from __future__ import annotations

import json
import math
import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from datetime import datetime
from enum import StrEnum
from functools import lru_cache
from itertools import groupby, product
from typing import Any

from evenhand.errors import BadRecord, StoreProblem
from evenhand.store.seals import seal

SqlValue = str | int | float | bytes | None
Row = Mapping[str, SqlValue]
_AT_ONCE = 40  # rows in one statement: an older SQLite takes 999 values
_TEXT = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode


class Saved(StrEnum):
    """What a save did."""

    NEW = "new"
    SAME = "same"
    CHANGED = "changed"


def as_text(value: object) -> str:
    """A mapping or sequence as JSON text, in the order given.

    >>> as_text({"driver": "7.1", "os": "Tidewater 4"})
    '{"driver":"7.1","os":"Tidewater 4"}'
    """
    return _TEXT(plain(value))


def plain(value: Any) -> Any:
    """A record, mapping or sequence as JSON knows it; numbers without a JSON spelling become text.

    >>> plain({"share": float("inf")})
    {'share': 'inf'}
    """
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    if isinstance(value, datetime):
        return value.isoformat()
    if isinstance(value, float) and not math.isfinite(value):
        return repr(value)
    return value


def moment(text: str | None) -> datetime | None:
    """A stored date and time."""
    return None if text is None else datetime.fromisoformat(text)


@contextmanager
def legible(name: str) -> Iterator[None]:
    """Turns what a damaged cell makes of reading a row into a StoreProblem that names the row."""
    try:
        yield
    except (ValueError, TypeError, LookupError, AttributeError) as error:
        raise StoreProblem(
            f"{name} is damaged", todo="run `evenhand check` to see what is affected, and go on from a backup"
        ) from error


def insert(conn: sqlite3.Connection, table: str, row: Row) -> int:
    """Adds one row; the number SQLite gave it.

    Raises BadRecord where a value cannot be held or names something not on record.
    """
    return _put(conn, table, [row], ending="")


def upsert(conn: sqlite3.Connection, table: str, row: Row, *, key: str) -> None:
    """Adds one row, or changes the one that has its key; its place in the order of arrival stays."""
    sets = ", ".join(f'"{name}" = excluded."{name}"' for name in row if name != key)
    _put(conn, table, [row], ending=f'ON CONFLICT ("{key}") DO UPDATE SET {sets}')


def _put(conn: sqlite3.Connection, table: str, rows: Sequence[Row], *, ending: str) -> int:
    """Adds rows of the same columns by one statement; the number of the last."""
    for row in rows:
        _refuse_nan(table, row)
    statement = _statement(table, tuple(rows[0]), len(rows), ending)
    try:
        put = conn.execute(statement, [value for row in rows for value in row.values()])
    except sqlite3.IntegrityError as error:
        if error.sqlite_errorcode != sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY:
            raise
        raise _dangling(conn, table, rows) from error
    except (UnicodeEncodeError, OverflowError) as error:
        raise BadRecord(
            f"a value cannot be stored ({error})",
            where=table,
            todo="write it with ordinary characters and numbers",
        ) from error
    return put.lastrowid or 0


@lru_cache(maxsize=256)
def _statement(table: str, names: tuple[str, ...], rows: int, ending: str) -> str:
    """Table and column names come from this room's own code, never from outside."""
    named = ", ".join(f'"{name}"' for name in names)
    marks = ", ".join([f"({', '.join('?' * len(names))})"] * rows)
    return f"INSERT INTO {table} ({named}) VALUES {marks} {ending}"  # noqa: S608


def _refuse_nan(table: str, row: Row) -> None:
    # SQLite would turn NaN into NULL without a word.
    for name, value in row.items():
        if isinstance(value, float) and math.isnan(value):
            raise BadRecord(f"{name} is not a number", where=table, todo="leave it out where it is not known")


def _dangling(conn: sqlite3.Connection, table: str, rows: Sequence[Row]) -> BadRecord:
    """Says which value of the rows names something that is not on record."""
    links = conn.execute(f"PRAGMA foreign_key_list({table})").fetchall()
    for row, link in product(rows, links):
        value = row.get(link["from"])
        there = f'SELECT 1 FROM {link["table"]} WHERE "{link["to"]}" = ?'  # noqa: S608
        if value is not None and conn.execute(there, (value,)).fetchone() is None:
            return BadRecord(
                f"{link['from']} {value!r} is not among the {link['table']} on record",
                where=table,
                todo="store it first",
            )
    return BadRecord("something named here is not on record", where=table, todo="store it first")


def replace_all(conn: sqlite3.Connection, table: str, owner: tuple[str, str], rows: Iterable[Row]) -> None:
    """Puts `rows` in the place of those that belong to `owner` (column, value)."""
    column, value = owner
    conn.execute(f'DELETE FROM {table} WHERE "{column}" = ?', (value,))  # noqa: S608
    owned = [{column: value, **row} for row in rows]
    for _, alike in groupby(owned, key=tuple):
        same = list(alike)
        for start in range(0, len(same), _AT_ONCE):
            _put(conn, table, same[start : start + _AT_ONCE], ending="")


def note_change(
    conn: sqlite3.Connection, table: str, key: str, *, before: object | None, after: object, at: datetime
) -> None:
    """Writes into history what a record was and what it is now."""
    entry = insert(
        conn,
        "history",
        {
            "table": table,
            "key": key,
            "before": None if before is None else as_text(before),
            "after": as_text(after),
            "at": at.isoformat(),
        },
    )
    seal(conn, "history", entry)
