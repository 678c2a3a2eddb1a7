"""Opening, writing and sharing a workbench, and what is said when that cannot be done."""

from __future__ import annotations

import os
import re
import resource
import shutil
import sqlite3
import subprocess
import tempfile
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from tests.store.small_study import NOW, PARTS, Landing, land, lay_ground, some_log

from evenhand.errors import StoreProblem
from evenhand.records.builds import Part
from evenhand.records.studies import Study
from evenhand.store import migrations
from evenhand.store.connecting import connect
from evenhand.store.migrations import APPLICATION_ID, MIGRATIONS, Migration, migrate, statements, version
from evenhand.store.rows import Saved
from evenhand.store.shelves import every, save
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench, open_to_read, open_workbench

A, B = PARTS


def test_a_missing_file_is_made_with_its_folders(tmp_path: Path) -> None:
    with open_workbench(tmp_path / "bench" / "2031" / "spring.evenhand") as wb:
        assert every(wb, Part) == ()
    assert (tmp_path / "bench" / "2031" / "spring.evenhand").exists()


def test_only_the_one_file_is_left_after_closing(wb: Workbench) -> None:
    wb.close()
    assert [file.name for file in wb.path.parent.iterdir()] == ["bench.evenhand"]


def test_a_missing_file_is_not_made_where_none_is_wanted(path: Path) -> None:
    with pytest.raises(StoreProblem, match="no workbench here yet"):
        open_workbench(path, create=False)
    assert not path.exists()


def test_a_file_of_no_bytes_is_new(path: Path) -> None:
    path.touch()
    with open_workbench(path) as wb:
        assert every(wb, Part) == ()


def test_a_file_of_no_bytes_with_changes_beside_it_is_refused_and_both_are_left(path: Path) -> None:
    path.touch()
    log = path.with_name("bench.evenhand-wal")
    log.write_bytes(b"the only copy of something")
    with pytest.raises(StoreProblem, match=r"bench\.evenhand-wal beside it holds changes"):
        open_workbench(path)
    assert log.read_bytes() == b"the only copy of something"


@pytest.mark.parametrize("content", [b"study = 'saltmarsh'\n", b"x", b"SQLite format 2\0" + bytes(100)])
def test_a_file_that_is_no_database_is_refused_and_left_as_it_is(path: Path, content: bytes) -> None:
    path.write_bytes(content)
    with pytest.raises(StoreProblem, match="this is not a workbench") as refused:
        open_workbench(path)
    assert refused.value.where == str(path)
    assert path.read_bytes() == content


def test_a_cut_off_header_is_told_as_damage(path: Path) -> None:
    path.write_bytes(b"SQLite format 3\0" + bytes(range(100)))
    with pytest.raises(StoreProblem, match="damaged"):
        open_workbench(path)


def foreign(path: Path, *script: str) -> bytes:
    with closing(sqlite3.connect(path)) as conn:
        for statement in script:
            conn.execute(statement)
        conn.commit()
    return path.read_bytes()


@pytest.mark.parametrize(
    "script",
    [
        ["CREATE TABLE recipes (name TEXT)"],
        ["PRAGMA application_id = 77"],
        ["PRAGMA user_version = 1"],
        ["CREATE TABLE parts (key TEXT)", "PRAGMA user_version = 1"],
    ],
)
def test_a_database_of_another_program_is_refused_and_left_as_it_is(path: Path, script: list[str]) -> None:
    before = foreign(path, *script)
    with pytest.raises(StoreProblem, match="a database of another program"):
        open_workbench(path)
    assert path.read_bytes() == before


def test_an_empty_database_is_as_good_as_new(path: Path) -> None:
    # What a first opening leaves behind that was killed before its first table.
    foreign(path, "PRAGMA journal_mode = WAL")
    with open_workbench(path) as wb:
        assert every(wb, Part) == ()


def test_a_newer_workbench_is_refused_in_words_and_left_as_it_is(wb: Workbench) -> None:
    wb.close()
    before = foreign(wb.path, "PRAGMA user_version = 99")
    with pytest.raises(StoreProblem, match="version 99, and this Evenhand knows versions up to") as refused:
        open_workbench(wb.path)
    assert refused.value.todo == "update Evenhand; the file was left as it is"
    assert wb.path.read_bytes() == before


def test_a_path_through_a_file_or_to_a_folder_is_refused_in_words(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    for path in (tmp_path / "file" / "bench.evenhand", tmp_path):
        with pytest.raises(StoreProblem, match=r"cannot be opened \(") as refused:
            open_workbench(path)
        assert refused.value.where == str(path)


def test_errors_name_the_path_as_it_was_given(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("notes.txt").write_text("no database")
    with pytest.raises(StoreProblem) as refused:
        open_workbench(Path("notes.txt"))
    assert refused.value.where == "notes.txt"


@contextmanager
def ordinary_person() -> Iterator[None]:
    """Steps down from root, who may write anywhere."""
    if os.geteuid():
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that anyone may enter; pytest's own are for the owner alone."""
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o755)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


@pytest.mark.parametrize("there_already", [False, True])
def test_a_read_only_folder_is_told_in_words(open_folder: Path, there_already: bool) -> None:
    path = open_folder / "bench.evenhand"
    if there_already:
        with open_workbench(path) as wb:
            lay_ground(wb)
        path.chmod(0o444)
    open_folder.chmod(0o555)
    with (
        ordinary_person(),
        pytest.raises(StoreProblem, match=r"may be read but not written|cannot be") as told,
    ):
        open_workbench(path)
    assert "--workbench" in told.value.todo


def test_in_a_read_only_folder_a_workbench_can_be_looked_at_and_not_written(open_folder: Path) -> None:
    path = open_folder / "bench.evenhand"
    with open_workbench(path) as wb:
        lay_ground(wb)
    path.chmod(0o444)
    open_folder.chmod(0o555)
    with ordinary_person(), open_to_read(path) as wb:
        assert not wb.writable
        assert [study.key for study in every(wb, Study)] == ["saltmarsh"]
        with pytest.raises(StoreProblem, match="may be read but not written here"):
            save(wb, Part(key="new", kind="case", name="New"), now=NOW)
    assert [file.name for file in open_folder.iterdir()] == ["bench.evenhand"]


def test_where_it_may_be_written_looking_at_it_is_opening_it(path: Path) -> None:
    with open_workbench(path) as wb:
        lay_ground(wb)
    with open_to_read(path) as wb:
        assert wb.writable


def test_changes_in_a_log_beside_a_read_only_file_are_not_passed_over(open_folder: Path) -> None:
    path = open_folder / "bench.evenhand"
    with open_workbench(path) as wb:
        lay_ground(wb)
        late = Part(key="late", kind="case", name="Late")
        save(wb, late, now=NOW)
        assert path.with_name("bench.evenhand-wal").stat().st_size > 0
        for file in open_folder.iterdir():
            file.chmod(0o444)
        open_folder.chmod(0o555)
        with ordinary_person(), open_to_read(path) as seen:
            assert late in every(seen, Part)


@pytest.fixture
def left_behind(open_folder: Path, path: Path) -> Path:
    """A workbench in a folder that may only be read, with the log of a program that was killed."""
    copy = open_folder / "bench.evenhand"
    with open_workbench(path) as wb:
        lay_ground(wb)
        save(wb, LATE, now=NOW)
        for name in ("bench.evenhand", "bench.evenhand-wal"):
            shutil.copy(path.with_name(name), open_folder / name)
    for file in open_folder.iterdir():
        file.chmod(0o444)
    open_folder.chmod(0o555)
    return copy


LATE = Part(key="late", kind="case", name="Late")


def test_a_log_left_in_a_read_only_folder_is_read_through_a_copy_that_goes_away(
    left_behind: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    temporary = Path(tempfile.mkdtemp())
    temporary.chmod(0o777)
    monkeypatch.setattr("tempfile.tempdir", str(temporary))
    with ordinary_person(), open_to_read(left_behind) as seen:
        assert seen.path == left_behind
        assert LATE in every(seen, Part)
        assert len(list(temporary.iterdir())) == 1
        with pytest.raises(StoreProblem, match="may be read but not written here"):
            save(seen, Part(key="new", kind="case", name="New"), now=NOW)
    with ordinary_person():
        assert check(left_behind).sound
    temporary.rmdir()
    assert len(list(left_behind.parent.iterdir())) == 2


def test_where_no_copy_can_be_made_it_is_said_what_is_left_and_what_to_do(
    left_behind: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("shutil.copyfile", full)
    with (
        ordinary_person(),
        pytest.raises(StoreProblem, match=r"changes are left in bench\.evenhand-wal") as told,
    ):
        open_to_read(left_behind)
    assert "copy both files" in told.value.todo


def test_a_copy_is_not_taken_while_somebody_writes(
    left_behind: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    moments = iter(range(100))
    monkeypatch.setattr("evenhand.store.seeing._state", lambda _path: next(moments))
    with ordinary_person(), pytest.raises(StoreProblem, match="somebody is writing to this workbench"):
        open_to_read(left_behind)


def test_looking_makes_no_file(path: Path) -> None:
    with pytest.raises(StoreProblem, match="no workbench here yet"):
        open_to_read(path)
    assert not path.exists()


class Stop(Exception):
    """Ends a block before its end."""


def store_and_stop(wb: Workbench, part: Part) -> None:
    with wb.writing():
        save(wb, part, now=NOW)
        raise Stop


def test_all_of_a_block_is_stored_or_none_of_it(path: Path) -> None:
    with open_workbench(path) as wb:
        with pytest.raises(Stop):
            store_and_stop(wb, A)
        assert every(wb, Part) == ()
        save(wb, B, now=NOW)
        assert every(wb, Part) == (B,)


def test_a_nested_block_is_undone_alone(path: Path) -> None:
    with open_workbench(path) as wb:
        with wb.writing():
            save(wb, A, now=NOW)
            with pytest.raises(Stop):
                store_and_stop(wb, B)
        assert every(wb, Part) == (A,)


def test_a_nested_block_is_not_stored_before_the_outer_one_ends(path: Path) -> None:
    def stop_after_a_nested_block(wb: Workbench) -> None:
        with wb.writing():
            with wb.writing():
                save(wb, A, now=NOW)
            raise Stop

    with open_workbench(path) as wb:
        with pytest.raises(Stop):
            stop_after_a_nested_block(wb)
        assert every(wb, Part) == ()


def test_inside_a_block_one_reads_what_one_wrote_and_others_do_not_yet(path: Path) -> None:
    with open_workbench(path) as wb, open_workbench(path) as other:
        with wb.writing():
            save(wb, A, now=NOW)
            assert every(wb, Part) == (A,)
            assert every(other, Part) == ()
        assert every(other, Part) == (A,)


def test_one_reading_sees_one_state_of_the_file(path: Path) -> None:
    with open_workbench(path) as wb, wb.reading() as conn:
        count = "SELECT count(*) FROM parts"
        assert conn.execute(count).fetchone()[0] == 0
        writer = threading.Thread(target=lambda: save(wb, A, now=NOW))
        writer.start()
        writer.join()
        assert conn.execute(count).fetchone()[0] == 0
        assert every(wb, Part) == (A,)


def test_a_reading_cannot_write(wb: Workbench) -> None:
    with pytest.raises(StoreProblem, match="may be read but not written"), wb.reading() as conn:
        conn.execute("DELETE FROM parts")


def test_threads_take_turns(path: Path) -> None:
    with open_workbench(path) as wb:
        parts = [Part(key=f"p{number}", kind="supply", name="Dunsolt 650") for number in range(40)]

        def store(mine: list[Part]) -> None:
            for part in mine:
                with wb.writing():
                    save(wb, part, now=NOW)

        threads = [threading.Thread(target=store, args=(parts[at::4],)) for at in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert {part.key for part in every(wb, Part)} == {part.key for part in parts}


def test_a_writer_that_holds_on_too_long_is_told_in_words(path: Path) -> None:
    with open_workbench(path) as wb, open_workbench(path, wait_s=0.05) as other:
        with wb.writing(), pytest.raises(StoreProblem, match="another program is writing"):
            save(other, A, now=NOW)
        assert save(other, A, now=NOW) is Saved.NEW


def test_a_full_disk_loses_nothing_that_was_stored(wb: Workbench) -> None:
    land(wb, Landing("r1", some_log("r1")))
    with wb.reading() as conn:
        pages = conn.execute("PRAGMA page_count").fetchone()[0]
    wb._writer.execute(f"PRAGMA max_page_count = {pages + 2}")
    with pytest.raises(StoreProblem, match="the disk is full") as told:
        land(wb, Landing("r2", some_log("r2", lines=20_000)))
    assert told.value.where == str(wb.path)
    wb._writer.execute("PRAGMA max_page_count = 1000000")
    assert stored_runs(wb) == ["r1"]
    land(wb, Landing("r2", some_log("r2", lines=20_000)))
    assert stored_runs(wb) == ["r1", "r2"]


def test_a_disk_that_refuses_more_bytes_loses_nothing_that_was_stored(wb: Workbench) -> None:
    land(wb, Landing("r1", some_log("r1")))
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (600_000, limits[1]))
    try:
        with pytest.raises(StoreProblem, match="the disk"):
            land(wb, Landing("r2", some_log("r2", lines=300_000)))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert stored_runs(wb) == ["r1"]
    land(wb, Landing("r3", some_log("r3")))
    assert stored_runs(wb) == ["r1", "r3"]


def test_a_log_larger_than_sqlite_can_hold_is_told_in_words(wb: Workbench) -> None:
    wb._writer.setlimit(sqlite3.SQLITE_LIMIT_LENGTH, 100_000)
    with pytest.raises(StoreProblem, match="larger than a workbench can hold"):
        land(wb, Landing("big", some_log("big", lines=100_000)))
    land(wb, Landing("r1", some_log("r1")))
    assert stored_runs(wb) == ["r1"]


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real disk of 2 MiB, where the system lets us have one."""
    place = tmp_path / "small"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(place)]
    if shutil.which("mount") is None or subprocess.run(mount, check=False, capture_output=True).returncode:
        pytest.skip("this system lets nobody mount a small disk here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_on_a_full_disk_what_was_stored_stays_and_the_step_can_be_repeated(small_disk: Path) -> None:
    ballast = small_disk / "ballast"
    with open_workbench(small_disk / "bench.evenhand") as wb:
        lay_ground(wb)
        land(wb, Landing("r1", some_log("r1")))
        free = shutil.disk_usage(small_disk).free
        ballast.write_bytes(bytes(free - 20_000))
        with pytest.raises(StoreProblem, match="the disk"):
            land(wb, Landing("r2", some_log("r2", lines=20_000)))
        assert stored_runs(wb) == ["r1"]
    ballast.unlink()
    with open_workbench(small_disk / "bench.evenhand") as wb:
        assert stored_runs(wb) == ["r1"]
        land(wb, Landing("r2", some_log("r2", lines=20_000)))
        assert stored_runs(wb) == ["r1", "r2"]


def stored_runs(wb: Workbench) -> list[str]:
    with wb.reading() as conn:
        tables = [
            {row[0] for row in conn.execute(f"SELECT {key} FROM {table}")}
            for table, key in (("runs", "id"), ("traces", "run"), ("measured", "run"), ("triaged", "run"))
        ]
    assert all(table == tables[0] for table in tables)
    return sorted(tables[0])


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
