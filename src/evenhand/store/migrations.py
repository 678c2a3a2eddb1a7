"""Numbered migrations, and who may be opened at all.

A workbench carries Evenhand's application id and, as SQLite's user version, the number of the last
migration applied. Each migration and its record are one transaction, so a killed upgrade leaves the
file at a whole number. Migrations only go forward.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from evenhand.errors import StoreProblem
from evenhand.store import schema
from evenhand.store.schema_away import AWAY
from evenhand.store.schema_heat import HEAT
from evenhand.store.schema_parts import PARTS
from evenhand.store.schema_photos import PHOTOS
from evenhand.store.schema_power import POWER
from evenhand.store.schema_publications import FORMS, PUBLICATIONS
from evenhand.store.schema_reconsidered import RECONSIDERED
from evenhand.store.schema_tables import TABLES
from evenhand.store.schema_told import BOUNDED, TOLD
from evenhand.store.schema_trials import CORRECTED, TRIALS, WATTS
from evenhand.store.schema_under_way import UNDER_WAY
from evenhand.store.schema_worth import WORTH
from evenhand.store.seals import seal_all

APPLICATION_ID = 0x45_76_48_64  # "EvHd" in the four bytes that SQLite keeps for this purpose


@dataclass(frozen=True, slots=True, kw_only=True)
class Migration:
    """One step: its number, what it does in a few words, its SQL, and what is to be worked out after it."""

    number: int
    name: str
    sql: str
    then: Callable[[sqlite3.Connection], None] | None = None


_RECORD = """
CREATE TABLE migrations (number INTEGER PRIMARY KEY, name TEXT NOT NULL, at TEXT NOT NULL) STRICT;
"""

MIGRATIONS = (
    Migration(number=1, name="first tables", sql=_RECORD + schema.FIRST),
    Migration(number=2, name="what past runs teach", sql=schema.LEARNING),
    Migration(number=3, name="seals", sql=schema.SEALS, then=seal_all),
    Migration(number=4, name="bench days", sql=schema.BENCH),
    Migration(number=5, name="scripts", sql=schema.SCRIPTS),
    Migration(number=6, name="watched folders", sql=schema.WATCHES),
    Migration(number=7, name="measured windows", sql=schema.WINDOWS),
    Migration(number=8, name="audiences, prices and sound", sql=WORTH),
    Migration(number=9, name="photos of builds", sql=PHOTOS),
    Migration(number=10, name="studies put away", sql=AWAY),
    Migration(number=11, name="scripts, disclosures and publications", sql=PUBLICATIONS),
    Migration(number=12, name="how numbers and days are written", sql=FORMS),
    Migration(number=13, name="facts and offers of parts, exchange rates", sql=PARTS),
    Migration(number=14, name="what is assumed of power", sql=POWER),
    Migration(number=15, name="what columns of tables were said to be", sql=TABLES),
    Migration(number=16, name="what rigs tell of their machines", sql=TOLD),
    Migration(number=17, name="tuned parts, makers' limits and trials", sql=TRIALS),
    Migration(number=18, name="no end of inventories", sql=BOUNDED),
    Migration(number=19, name="watts of trials", sql=WATTS),
    Migration(number=20, name="temperature logs of tuned parts", sql=HEAT),
    Migration(number=21, name="trials under way", sql=UNDER_WAY),
    Migration(number=22, name="trials and limits put back", sql=RECONSIDERED),
    Migration(number=23, name="corrected errors of trials", sql=CORRECTED),
)


def version(conn: sqlite3.Connection) -> int:
    """The number of the last migration applied; 0 in a file that is still empty."""
    return int(conn.execute("PRAGMA user_version").fetchone()[0])


def refuse_strangers(conn: sqlite3.Connection, path: Path, *, newest: int = MIGRATIONS[-1].number) -> None:
    """Raises StoreProblem unless the file is an empty database or a workbench this code understands."""
    application, tables, reached = _marks(conn)
    if application != APPLICATION_ID and (tables or application or reached):
        raise StoreProblem(
            "this is a database of another program, not a workbench",
            where=str(path),
            todo="name another file with --workbench; this one was left as it is",
        )
    if reached > newest:
        raise StoreProblem(
            f"this workbench has version {reached}, and this Evenhand knows versions up to {newest}",
            where=str(path),
            todo="update Evenhand; the file was left as it is",
        )


def _marks(conn: sqlite3.Connection) -> tuple[int, int, int]:
    """Application, tables and version of one moment: another process may just be laying the first table."""
    conn.execute("BEGIN")
    try:
        tables = conn.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
        application = conn.execute("PRAGMA application_id").fetchone()[0]
        return int(application), int(tables), version(conn)
    finally:
        if conn.in_transaction:
            conn.execute("ROLLBACK")


def migrate(conn: sqlite3.Connection, *, steps: tuple[Migration, ...] = MIGRATIONS) -> None:
    """Applies the steps that are still missing, in order. The connection must be in autocommit mode."""
    while version(conn) < steps[-1].number:
        conn.execute("BEGIN IMMEDIATE")
        try:
            _next_step(conn, steps)
            conn.execute("COMMIT")
        except BaseException:
            if conn.in_transaction:
                conn.execute("ROLLBACK")
            raise


def _next_step(conn: sqlite3.Connection, steps: tuple[Migration, ...]) -> None:
    # Read again inside the transaction: another process may have applied the step while we waited.
    missing = [step for step in steps if step.number > version(conn)]
    if not missing:
        return
    step = missing[0]
    for statement in statements(step.sql):
        conn.execute(statement)
    if step.then is not None:
        step.then(conn)
    conn.execute(
        "INSERT INTO migrations VALUES (?, ?, strftime('%Y-%m-%dT%H:%M:%SZ', 'now'))",
        (step.number, step.name),
    )
    conn.execute(f"PRAGMA user_version = {step.number:d}")
    conn.execute(f"PRAGMA application_id = {APPLICATION_ID:d}")


def statements(sql: str) -> list[str]:
    """SQL text cut into statements; `executescript` will not do, since it commits first.

    >>> statements("CREATE TABLE a (b); CREATE TABLE c (d);")
    ['CREATE TABLE a (b);', 'CREATE TABLE c (d);']
    """
    found, rest = [], ""
    for piece in sql.split(";")[:-1]:
        rest += piece + ";"
        if sqlite3.complete_statement(rest):
            found.append(rest.strip())
            rest = ""
    return found
