"""A backup is whole or not there; a check finds damage and says what is affected."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import numpy as np
import pytest
from tests.store.small_study import NOW, PARTS, Landing, land, some_log, unguarded

from evenhand.errors import StoreProblem
from evenhand.records.builds import Part
from evenhand.store.migrations import MIGRATIONS
from evenhand.store.originals import original
from evenhand.store.results import freeze
from evenhand.store.runs import runs_of
from evenhand.store.seals import seal_all
from evenhand.store.shelves import every, save
from evenhand.store.upkeep import backup, check
from evenhand.store.workbench import Workbench, open_workbench


@pytest.fixture
def three_runs(wb: Workbench) -> Workbench:
    for name in ("r1", "r2", "r3"):
        land(wb, Landing(name, some_log(name, lines=3000)))
    return wb


def test_a_sound_workbench_passes(three_runs: Workbench) -> None:
    steps: list[tuple[int, int]] = []
    report = check(three_runs.path, progress=lambda done, total: steps.append((done, total)))
    assert report.sound
    assert (report.originals, report.traces, report.problems) == (3, 3, ())
    assert steps == [(done, 6) for done in range(1, 7)]


def test_a_check_may_run_beside_a_writer(three_runs: Workbench) -> None:
    with three_runs.writing():
        save(three_runs, PARTS[0], now=NOW)
        assert check(three_runs.path).sound


def test_a_backup_is_a_workbench_of_its_own(three_runs: Workbench, tmp_path: Path) -> None:
    target = tmp_path / "kept" / "copy.evenhand"
    steps: list[tuple[int, int]] = []
    backup(three_runs, target, progress=lambda done, total: steps.append((done, total)))
    assert steps[-1][0] == steps[-1][1] > 0
    assert [file.name for file in target.parent.iterdir()] == ["copy.evenhand"]
    assert check(target).sound
    with open_workbench(target) as copy:
        assert runs_of(copy, "saltmarsh") == runs_of(three_runs, "saltmarsh")


def test_a_backup_is_the_state_at_its_beginning(three_runs: Workbench, tmp_path: Path) -> None:
    late = Part(key="late", kind="case", name="Late")

    def meddle(_done: int, _total: int) -> None:
        save(three_runs, late, now=NOW)

    # More pages than are copied at one go, so that the change falls into the middle.
    land(three_runs, Landing("big", some_log("big", lines=2_000_000)))
    backup(three_runs, tmp_path / "copy.evenhand", progress=meddle)
    assert late in every(three_runs, Part)
    with open_workbench(tmp_path / "copy.evenhand") as copy:
        assert late not in every(copy, Part)


@pytest.mark.parametrize("taken", ["copy.evenhand", "copy.evenhand-wal", "copy.evenhand-journal"])
def test_a_backup_overwrites_nothing(three_runs: Workbench, tmp_path: Path, taken: str) -> None:
    (tmp_path / taken).write_text("something")
    with pytest.raises(StoreProblem, match=f"{taken} is there already"):
        backup(three_runs, tmp_path / "copy.evenhand")
    assert (tmp_path / taken).read_text() == "something"


def test_a_backup_onto_itself_is_refused(three_runs: Workbench) -> None:
    with pytest.raises(StoreProblem, match="is there already"):
        backup(three_runs, three_runs.path)


def test_a_backup_that_is_stopped_leaves_nothing_behind(three_runs: Workbench, tmp_path: Path) -> None:
    def stop(_done: int, _total: int) -> None:
        raise KeyboardInterrupt

    folder = tmp_path / "kept"
    with pytest.raises(KeyboardInterrupt):
        backup(three_runs, folder / "copy.evenhand", progress=stop)
    assert list(folder.iterdir()) == []


def test_a_backup_to_an_impossible_place_is_told_in_words(three_runs: Workbench, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(StoreProblem, match="the copy cannot be written") as told:
        backup(three_runs, tmp_path / "file" / "copy.evenhand")
    assert told.value.where.endswith("copy.evenhand")


def test_where_no_file_can_be_made_it_is_the_copy_that_is_told_of(
    three_runs: Workbench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refusing(file: Path, **_: object) -> sqlite3.Connection:
        return sqlite3.connect(f"{file.parent.as_uri()}/no-folder/x?mode=rwc", uri=True)

    monkeypatch.setattr("evenhand.store.upkeep.connect", refusing)
    with pytest.raises(StoreProblem, match="the copy cannot be written there") as told:
        backup(three_runs, tmp_path / "copy.evenhand")
    assert "--workbench" not in told.value.todo
    assert told.value.where.endswith("copy.evenhand")


def test_a_check_makes_no_file(path: Path) -> None:
    with pytest.raises(StoreProblem, match="no workbench here yet"):
        check(path)
    assert not path.exists()


def test_a_copy_that_may_only_be_read_can_be_checked(
    three_runs: Workbench, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    backup(three_runs, tmp_path / "copy.evenhand")
    monkeypatch.setattr("os.access", lambda *_, **__: False)
    assert check(tmp_path / "copy.evenhand").sound


def test_an_original_that_is_not_the_bytes_of_its_hash_is_found(three_runs: Workbench) -> None:
    with unguarded(three_runs._writer) as conn:
        first = conn.execute("SELECT digest FROM originals WHERE rowid = 1").fetchone()[0]
        another = "(SELECT packed FROM originals WHERE rowid = 2)"
        conn.execute(f"UPDATE originals SET packed = {another} WHERE rowid = 1")
    assert check(three_runs.path).problems == (
        f"original {first[:12]}… does not give back the bytes of its hash",
    )


def test_damaged_blobs_are_found(three_runs: Workbench) -> None:
    with unguarded(three_runs._writer) as conn:
        conn.execute("UPDATE originals SET packed = x'00' WHERE rowid = 2")
        conn.execute("UPDATE traces SET packed = x'00' WHERE run = 'r3'")
    first, second = check(three_runs.path).problems
    assert first.startswith("original ")
    assert first.endswith("cannot be read (an original is damaged)")
    assert second.startswith("the trace of run r3 cannot be read (a packed trace is damaged")


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("UPDATE runs SET boot = 'b2' WHERE id = 'r2'", "runs 'r2' is not what history last said: boot"),
        ("UPDATE studies SET margin = 0.3", "studies 'saltmarsh' is not what history last said: margin"),
        ("DELETE FROM build_parts", "builds 'plover' is not what history last said: parts"),
        ("UPDATE tests SET direction = 'up' WHERE key = 'render'", "tests 'render' cannot be read"),
        ("UPDATE faults SET places = '[[' WHERE run = 'r1'", "faults 'r1' cannot be read"),
        (
            "UPDATE runs SET stamps = CAST(x'ff' AS TEXT) WHERE id = 'r3'",
            "runs 'r3' cannot be read (it holds bytes that are no text)",
        ),
        ("UPDATE runs SET stamps = '{' WHERE id = 'r3'", "runs 'r3' cannot be read (run r3 is damaged)"),
        (
            "UPDATE results SET at = 'soon'",
            "results '1' cannot be read (it does not hold what belongs there)",
        ),
    ],
)
def test_a_record_that_changed_behind_our_back_is_found(
    three_runs: Workbench, statement: str, words: str
) -> None:
    # What a flipped bit inside a row does: SQLite itself has no checksum for it.
    freeze(three_runs, "saltmarsh", code_version="1", input_hash="a", body="{}", at=NOW)
    with unguarded(three_runs._writer) as conn:
        conn.execute(statement)
    (problem,) = check(three_runs.path).problems
    assert problem.startswith(words)


@pytest.mark.parametrize("after", ["CAST(x'ff' AS TEXT)", "'{'"])
def test_a_damaged_entry_of_history_is_told_as_such_and_not_held_against_the_record(
    three_runs: Workbench, after: str
) -> None:
    with unguarded(three_runs._writer) as conn:
        conn.execute(f"UPDATE history SET after = {after} WHERE \"table\" = 'runs' AND key = 'r2'")
    (problem,) = check(three_runs.path).problems
    assert problem.startswith("entry ")
    assert "of the table history cannot be read (it " in problem


def test_reading_a_damaged_record_is_told_in_words(three_runs: Workbench) -> None:
    three_runs._writer.execute("UPDATE runs SET stamps = '{' WHERE id = 'r2'")
    with pytest.raises(StoreProblem, match="run r2 is damaged"):
        runs_of(three_runs, "saltmarsh")


def test_an_old_entry_in_history_need_not_know_newer_fields(three_runs: Workbench) -> None:
    with unguarded(three_runs._writer) as conn:
        conn.execute("UPDATE history SET after = json_remove(after, '$.ambient_c')")
    seal_all(three_runs._writer)
    assert check(three_runs.path).sound


def test_a_dangling_reference_is_found(three_runs: Workbench) -> None:
    three_runs._writer.execute("PRAGMA foreign_keys = OFF")
    with three_runs.writing() as conn:
        conn.execute("DELETE FROM setups")
    problems = check(three_runs.path).problems
    assert "a row of runs names something missing from setups" in problems


def test_a_missing_record_of_a_migration_is_found(three_runs: Workbench) -> None:
    with three_runs.writing() as conn:
        conn.execute("DELETE FROM migrations")
    assert check(three_runs.path).problems == (
        f"the record of migrations says [], but the schema has version {MIGRATIONS[-1].number}",
    )


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("DROP TABLE judged", "the table judged is missing"),
        ("DROP TRIGGER results_no_update", "the trigger results_no_update is missing"),
        ("DROP INDEX runs_by_label", "the index runs_by_label is missing"),
        ("ALTER TABLE judged ADD COLUMN more TEXT", "the table judged is not as Evenhand made it"),
        ("CREATE TABLE more (a)", "the table more was not made by Evenhand"),
        (
            "CREATE TRIGGER quiet AFTER INSERT ON runs BEGIN DELETE FROM history; END",
            "the trigger quiet was not made by Evenhand",
        ),
        ("UPDATE migrations SET name = 'other' WHERE number = 2", "the record of migration 2 is not what"),
    ],
)
def test_a_schema_that_is_not_what_the_migrations_make_is_told(
    three_runs: Workbench, statement: str, words: str
) -> None:
    three_runs._writer.execute(statement)
    (problem,) = check(three_runs.path).problems
    assert problem.startswith(words)


def test_a_length_that_an_original_does_not_have_is_told(three_runs: Workbench) -> None:
    with unguarded(three_runs._writer) as conn:
        conn.execute("UPDATE originals SET raw_bytes = 7 WHERE rowid = 1")
    (problem,) = check(three_runs.path).problems
    assert problem.endswith(f"… is noted with 7 bytes, and has {len(some_log('r1', lines=3000))}")


def test_a_missing_table_is_told_and_not_thrown(three_runs: Workbench) -> None:
    with three_runs.writing() as conn:
        conn.execute("DROP TABLE traces")
        conn.execute("DROP TABLE migrations")
    text = " ".join(check(three_runs.path).problems)
    missing = "cannot be read (the table, or one of its columns, is missing)"
    assert f"the list of traces {missing}" in text
    assert f"the record of migrations {missing}" in text


def damaged_copy(wb: Workbench, *, at: int | None = None, cut: int | None = None) -> Path:
    content = bytearray(wb.path.read_bytes())
    if at is not None:
        content[at : at + 64] = bytes(byte ^ 0xFF for byte in content[at : at + 64])
    copy = wb.path.with_name("damaged.evenhand")
    copy.write_bytes(content[:cut])
    return copy


def verdict(path: Path) -> tuple[str, ...]:
    """What a person is told; anything but words fails the test."""
    try:
        return check(path).problems
    except StoreProblem as problem:
        return (str(problem),)


def test_damage_inside_an_original_is_found_and_the_others_are_still_read(three_runs: Workbench) -> None:
    three_runs.close()
    content = three_runs.path.read_bytes()
    with open_workbench(three_runs.path) as wb, wb.reading() as conn:
        digest, packed = conn.execute("SELECT digest, packed FROM originals WHERE rowid = 2").fetchone()
    hurt = damaged_copy(three_runs, at=content.index(packed[3000:3100]))
    assert any(f"original {digest[:12]}… " in problem for problem in verdict(hurt))
    with open_workbench(hurt) as wb:
        others = [run.log for run in runs_of(wb, "saltmarsh") if run.log != digest]
        assert [original(wb, log) for log in others] == [some_log(name, lines=3000) for name in ("r1", "r3")]


@pytest.mark.parametrize("seed", range(40))
def test_damage_anywhere_is_answered_in_words(three_runs: Workbench, seed: int) -> None:
    three_runs.close()
    size = three_runs.path.stat().st_size
    at = int(np.random.default_rng(seed).integers(0, size))
    assert all(isinstance(problem, str) for problem in verdict(damaged_copy(three_runs, at=at)))


@pytest.mark.parametrize("share", [0.001, 0.01, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99])
def test_a_truncated_file_is_found(three_runs: Workbench, share: float) -> None:
    three_runs.close()
    cut = int(three_runs.path.stat().st_size * share)
    assert verdict(damaged_copy(three_runs, cut=cut))


@pytest.mark.parametrize("share", [0.01, 0.3, 0.5, 0.9])
def test_a_file_that_was_cut_off_is_a_report_and_no_refusal(three_runs: Workbench, share: float) -> None:
    three_runs.close()
    size = three_runs.path.stat().st_size
    report = check(damaged_copy(three_runs, cut=int(size * share)))
    assert not report.sound
    assert not any("evenhand check" in problem for problem in report.problems)
    if report.version == 0:
        (problem,) = report.problems
        has = int(size * share)
        assert problem == (
            f"the file is cut off: it has {has:,} of {size:,} bytes, and can no longer be opened"
        )


def test_a_damaged_first_page_is_told_as_such(three_runs: Workbench) -> None:
    three_runs.close()
    (words,) = verdict(damaged_copy(three_runs, at=0))
    assert "this is not a workbench, or its first page is damaged" in words
