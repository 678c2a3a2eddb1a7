"""Opening a workbench: what is made, what is refused and in which words."""

from __future__ import annotations

import sqlite3
from contextlib import ExitStack, closing
from pathlib import Path

import pytest

from evenhand.errors import StoreProblem
from evenhand.records.builds import Part
from evenhand.store import workbench
from evenhand.store.shelves import every
from evenhand.store.workbench import Workbench, open_workbench


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


def test_a_file_that_another_process_makes_just_now_is_opened(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with ExitStack() as others:

        def head(place: Path) -> bytes:
            seen = place.read_bytes() if place.exists() else b""
            if not seen:
                monkeypatch.undo()
                others.enter_context(open_workbench(place))
            return seen

        monkeypatch.setattr(workbench, "_head", head)
        with open_workbench(path) as wb:
            assert every(wb, Part) == ()
            assert path.with_name("bench.evenhand-wal").stat().st_size > 0


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
