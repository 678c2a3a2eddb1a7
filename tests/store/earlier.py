"""A workbench as an earlier Evenhand would have left it."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from evenhand.store.connecting import connect
from evenhand.store.migrations import MIGRATIONS, migrate


def brought_back(conn: sqlite3.Connection, place: Path, *, step: int) -> None:
    """Takes away every table, column and record of what came after this step; `place` is for scratch."""
    take_away_what_came_later(conn, columns_at(place / f"step-{step}.evenhand", step=step))
    conn.execute("DELETE FROM migrations WHERE number > ?", (step,))
    conn.execute(f"PRAGMA user_version = {step:d}")


def columns_at(path: Path, *, step: int) -> dict[str, set[str]]:
    """Table name → its columns, in a workbench that was brought so far and no further."""
    with closing(connect(path, mode="rwc")) as conn:
        migrate(conn, steps=MIGRATIONS[:step])
        return columns_of(conn)


def columns_of(conn: sqlite3.Connection) -> dict[str, set[str]]:
    tables = conn.execute("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
    return {
        table: {row["name"] for row in conn.execute(f"PRAGMA table_info({table})")}
        for table in [row["name"] for row in tables]
    }


def take_away_what_came_later(conn: sqlite3.Connection, before: dict[str, set[str]]) -> None:
    """Leaves only the tables and columns that were there before."""
    conn.execute("PRAGMA foreign_keys = OFF")
    for table, columns in columns_of(conn).items():
        if table not in before:
            conn.execute(f"DROP TABLE {table}")
            continue
        for column in columns - before[table]:
            conn.execute(f"ALTER TABLE {table} DROP COLUMN {column}")
