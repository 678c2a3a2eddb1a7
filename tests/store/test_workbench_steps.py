"""Migrations: numbered steps, applied once, each whole or not at all."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from evenhand.store import migrations
from evenhand.store.connecting import connect
from evenhand.store.migrations import APPLICATION_ID, MIGRATIONS, Migration, migrate, statements, version
from evenhand.store.workbench import open_workbench


@pytest.fixture
def conn(tmp_path: Path) -> Iterator[sqlite3.Connection]:
    with closing(connect(tmp_path / "raw.evenhand", mode="rwc")) as opened:
        yield opened


STEPS = (
    Migration(number=1, name="one", sql="CREATE TABLE migrations (number, name, at); CREATE TABLE a (x);"),
    Migration(number=2, name="two", sql="CREATE TABLE b (x); INSERT INTO b VALUES (1);"),
)


def test_migrations_are_numbered_from_one_without_gaps() -> None:
    assert [step.number for step in MIGRATIONS] == list(range(1, len(MIGRATIONS) + 1))


def test_a_new_file_carries_our_mark_and_the_record_of_every_step(path: Path) -> None:
    with open_workbench(path) as wb, wb.reading() as conn:
        assert conn.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
        assert version(conn) == MIGRATIONS[-1].number
        rows = conn.execute("SELECT number, name, at FROM migrations").fetchall()
    assert [(row["number"], row["name"]) for row in rows] == [(step.number, step.name) for step in MIGRATIONS]
    assert all(re.fullmatch(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", row["at"]) for row in rows)


def test_only_missing_steps_are_applied(conn: sqlite3.Connection) -> None:
    migrate(conn, steps=STEPS[:1])
    assert version(conn) == 1
    migrate(conn, steps=STEPS)
    migrate(conn, steps=STEPS)
    assert version(conn) == 2
    assert conn.execute("SELECT count(*) FROM b").fetchone()[0] == 1


def test_a_step_that_fails_leaves_the_file_at_the_step_before(conn: sqlite3.Connection) -> None:
    broken = Migration(number=2, name="broken", sql="CREATE TABLE b (x); INSERT INTO nowhere VALUES (1);")
    with pytest.raises(sqlite3.OperationalError):
        migrate(conn, steps=(STEPS[0], broken))
    assert version(conn) == 1
    assert [row[0] for row in conn.execute("SELECT number FROM migrations")] == [1]
    tables = {row[0] for row in conn.execute("SELECT name FROM sqlite_schema")}
    assert tables == {"migrations", "a"}
    migrate(conn, steps=STEPS)
    assert version(conn) == 2


def test_a_step_is_skipped_that_another_process_has_applied_meanwhile(conn: sqlite3.Connection) -> None:
    migrate(conn, steps=STEPS)
    conn.execute("BEGIN IMMEDIATE")
    migrations._next_step(conn, STEPS)
    conn.execute("COMMIT")
    assert conn.execute("SELECT count(*) FROM b").fetchone()[0] == 1


def test_statements_keep_triggers_whole() -> None:
    trigger = "CREATE TRIGGER t BEFORE DELETE ON a BEGIN SELECT RAISE(ABORT, 'no; never'); SELECT 1; END;"
    assert statements(f"CREATE TABLE a (x);\n{trigger}\n") == ["CREATE TABLE a (x);", trigger]


def test_every_table_of_ours_is_strict(path: Path) -> None:
    with open_workbench(path) as wb, wb.reading() as conn:
        rows = conn.execute("SELECT name, strict FROM pragma_table_list WHERE name NOT LIKE 'sqlite_%'")
        assert {row["name"] for row in rows if not row["strict"]} == set()


@pytest.mark.parametrize("moment", range(1, 6))
def test_a_file_that_another_process_is_just_making_is_no_stranger(tmp_path: Path, moment: int) -> None:
    place = tmp_path / "new.evenhand"
    with closing(connect(place, mode="rwc")) as conn, closing(connect(place, mode="rwc")) as other:
        conn.execute("PRAGMA journal_mode = WAL")
        asked = 0

        def meanwhile(_statement: str) -> None:
            nonlocal asked
            asked += 1
            if asked == moment:
                migrate(other, steps=STEPS)

        conn.set_trace_callback(meanwhile)
        migrations.refuse_strangers(conn, place)
        assert asked >= moment
        assert version(other) == 2
