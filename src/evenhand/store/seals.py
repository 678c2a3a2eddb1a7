"""Seals: a digest of rows, kept apart from them, so that a change behind our back shows.

SQLite has no checksum for what stands in a row. A seal is kept in a table of its own, so that a row that
is gone is missed too. It guards against slips and damage; who rewrites a row can rewrite its seal.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator, Mapping
from itertools import groupby
from types import MappingProxyType

_LINE = json.JSONEncoder(sort_keys=True).encode

SEALED: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "runs": ("id", "id"),
        "study_runs": ("run", "id"),
        "original_names": ("digest", "name"),
        "traces": ("run", "run"),
        "measured": ("run", "run"),
        "metrics": ("run", "key"),
        "triaged": ("run", "run"),
        "faults": ("run", "position"),
        "lessons": ("study || ' ' || test", "test"),
        "decisions": ("id", "id"),
        "results": ("id", "id"),
        "history": ("id", "id"),
        "forgotten": ("id", "id"),
        "plans": ("id", "id"),
        "bench_notes": ("id", "id"),
        "arrivals": ("id", "id"),
        "placings": ("id", "id"),
        "attachments": ("id", "id"),
        "devices": ("id", "id"),
        "device_ends": ("device", "device"),
        "watches": ("id", "id"),
        "watched_files": ("id", "id"),
        "prices": ("id", "id"),
        "prices_taken_back": ("price", "price"),
        "sound_readings": ("id", "id"),
        "sound_taken_back": ("reading", "reading"),
        "part_facts": ("id", "id"),
        "offers": ("id", "id"),
        "offers_taken_back": ("offer", "offer"),
        "rates": ("id", "id"),
        "rates_taken_back": ("rate", "rate"),
        "power_terms": ("id", "id"),
        "table_roles": ("id", "id"),
        "inventories": ("id", "id"),
        "told_parts": ("id", "id"),
        "tuned_parts": ("id", "id"),
        "maker_limits": ("id", "id"),
        "maker_limits_taken_back": ("maker_limit", "maker_limit"),
        "trials": ("id", "id"),
        "trials_taken_back": ("trial", "trial"),
        "heat_logs": ("id", "id"),
        "heat_logs_taken_back": ("heat_log", "heat_log"),
        "trials_under_way": ("key", "key"),
        "trials_reconsidered": ("id", "id"),
        "maker_limits_reconsidered": ("id", "id"),
        "build_photos": ("id", "id"),
        "build_photo_words": ("id", "id"),
        "studies_away": ("id", "id"),
        "scripts": ("id", "id"),
        "disclosures": ("id", "id"),
        "imprints": ("id", "id"),
        "publications": ("id", "id"),
        "publication_files": ("publication", "path"),
    }
)
"""Tables that are sealed: what names the rows that stand under one seal, and their order under it."""


def seal(conn: sqlite3.Connection, table: str, key: str | int) -> None:
    """Seals the rows of `key` as they are now; call it in the transaction that wrote them.

    Where there are none the seal is taken away.
    """
    named, order = SEALED[table]
    rows = conn.execute(f"SELECT * FROM {table} WHERE {named} = ? ORDER BY {order}", (key,)).fetchall()  # noqa: S608
    if rows:
        _keep(conn, table, str(key), digest_of(rows))
    else:
        conn.execute('DELETE FROM seals WHERE "table" = ? AND key = ?', (table, str(key)))


def seal_all(conn: sqlite3.Connection) -> None:
    """Seals everything as it is now: for a workbench from before there were seals, and later tables."""
    there = {row[0] for row in conn.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")}
    for table in (name for name in SEALED if name in there):
        for key, digest in list(as_it_is(conn, table)):
            _keep(conn, table, key, digest)


def _keep(conn: sqlite3.Connection, table: str, key: str, digest: str) -> None:
    conn.execute("INSERT OR REPLACE INTO seals VALUES (?, ?, ?)", (table, key, digest))


def as_it_is(conn: sqlite3.Connection, table: str) -> Iterator[tuple[str, str]]:
    """Each key of a sealed table with the digest of its rows as they are now."""
    named, order = SEALED[table]
    rows = conn.execute(f"SELECT {named} AS sealed_as, * FROM {table} ORDER BY {named}, {order}")  # noqa: S608
    for key, own in groupby(rows, key=lambda row: str(row["sealed_as"])):
        yield key, digest_of(list(own))


def as_sealed(conn: sqlite3.Connection, table: str) -> dict[str, str]:
    """Each key of a table with the digest that its seal holds."""
    rows = conn.execute('SELECT key, digest FROM seals WHERE "table" = ?', (table,))
    return {row["key"]: row["digest"] for row in rows}


def digest_of(rows: list[sqlite3.Row]) -> str:
    """SHA-256 of rows: a line of JSON for each, its empty cells left out.

    So a column that a later schema step adds breaks no seal.
    """
    whole = hashlib.sha256()
    for row in rows:
        cells = zip(row.keys(), row, strict=True)
        told = {n: _plain(value) for n, value in cells if value is not None and n != "sealed_as"}
        whole.update(_LINE(told).encode() + b"\n")
    return whole.hexdigest()


def _plain(value: object) -> object:
    return hashlib.sha256(value).hexdigest() if isinstance(value, bytes) else value
