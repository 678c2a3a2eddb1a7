"""Tables, indexes and triggers that are not those the migrations make, in sentences."""

from __future__ import annotations

import sqlite3
from contextlib import closing

from evenhand.store.migrations import MIGRATIONS, migrate, version
from evenhand.store.soundness import DAMAGE, in_short

Made = dict[tuple[str, str], tuple[str, str | None]]  # kind and name: the table it belongs to, and its SQL


def of_schema(conn: sqlite3.Connection) -> list[str]:
    """What is missing, altered or added, held against a new file brought to the same version.

    What went with a missing table is not told again.
    """
    try:
        now = _made(conn)
    except DAMAGE as error:
        return [f"the list of tables cannot be read ({in_short(error)})"]
    should = _as_migrations_make_it(version(conn))
    gone = {name for kind, name in should.keys() - now.keys() if kind == "table"}
    found = []
    for kind, name in sorted(should.keys() | now.keys()):
        table, _ = should.get((kind, name)) or now[kind, name]
        words = _odd(now.get((kind, name)), should.get((kind, name)))
        if words and (kind == "table" or table not in gone):
            found.append(f"the {kind} {name} {words}".encode("utf-8", "replace").decode())
    return found


def _odd(now: object, should: object) -> str:
    if now == should:
        return ""
    if now is None:
        return "is missing"
    return "was not made by Evenhand" if should is None else "is not as Evenhand made it"


def _as_migrations_make_it(number: int) -> Made:
    steps = tuple(step for step in MIGRATIONS if step.number <= number)
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as conn:
        conn.row_factory = sqlite3.Row
        if steps:
            migrate(conn, steps=steps)
        return _made(conn)


def _made(conn: sqlite3.Connection) -> Made:
    """All of the schema but what SQLite keeps for itself."""
    rows = conn.execute("SELECT type, name, tbl_name, sql FROM sqlite_schema").fetchall()
    own = (row for row in rows if not row["name"].startswith("sqlite_"))
    return {(row["type"], row["name"]): (row["tbl_name"], row["sql"]) for row in own}
