"""Looking at a workbench that may not be written, and what is said when it should be."""

from __future__ import annotations

import os
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from tests.store.small_study import NOW, lay_ground

from evenhand.errors import StoreProblem
from evenhand.records.builds import Part
from evenhand.records.studies import Study
from evenhand.store.shelves import every, save
from evenhand.store.upkeep import check
from evenhand.store.workbench import open_to_read, open_workbench


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
