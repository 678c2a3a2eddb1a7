"""Looking at one log before any study names it."""

from __future__ import annotations

import gzip
import tracemalloc
from pathlib import Path

import pytest
from tests.desk.small_folder import LATER, NOW, Folder, everything

from evenhand.desk.logs.columns import LOOK_BYTES, confirm_columns, look_at_log
from evenhand.errors import BadLog
from evenhand.store.workbench import Workbench


@pytest.fixture
def log(folder: Folder, tmp_path: Path) -> Path:
    return folder.write(tmp_path / "study") / "logs/wren-causeway-1.csv"


def test_every_column_is_guessed_with_a_reason_and_a_preview(wb: Workbench, log: Path) -> None:
    question = look_at_log(wb, log).question
    assert [(c.header, c.role, c.unit) for c in question.columns] == [
        ("t [s]", "elapsed time", "s"),
        ("frame [ms]", "frame time", "ms"),
    ]
    assert all(column.reason for column in question.columns)
    assert question.preview[0] == tuple(log.read_text().splitlines()[1].split(","))
    assert question.file == "wren-causeway-1.csv"


def test_looking_changes_nothing(wb: Workbench, log: Path) -> None:
    before = everything(wb.path)
    assert look_at_log(wb, log).remembered is None
    assert everything(wb.path) == before


def test_what_is_confirmed_is_remembered_by_its_header(wb: Workbench, log: Path) -> None:
    layout = confirm_columns(wb, look_at_log(wb, log), now=NOW)
    assert look_at_log(wb, log.with_name("plover-tramlines-3.csv")).remembered == layout


def test_confirming_twice_changes_nothing(wb: Workbench, log: Path) -> None:
    confirm_columns(wb, look_at_log(wb, log), now=NOW)
    before = everything(wb.path)
    confirm_columns(wb, look_at_log(wb, log), now=LATER)
    assert everything(wb.path) == before


def test_a_guess_by_which_nothing_could_be_read_is_not_confirmed(wb: Workbench, tmp_path: Path) -> None:
    (tmp_path / "a.csv").write_text("stamp\n" + "".join(f"12:00:00.{at:03}\n" for at in range(9)))
    look = look_at_log(wb, tmp_path / "a.csv")
    with pytest.raises(BadLog, match="no column was taken for score"):
        confirm_columns(wb, look, now=NOW)
    assert look_at_log(wb, tmp_path / "a.csv").remembered is None


@pytest.mark.parametrize(
    ("content", "found"),
    [(b"", "the file is empty"), (b"\0\1\2\3" * 50, "this is a binary file")],
    ids=["empty", "binary"],
)
def test_what_is_no_log_is_refused_in_words(
    wb: Workbench, tmp_path: Path, content: bytes, found: str
) -> None:
    (tmp_path / "a.csv").write_bytes(content)
    with pytest.raises(BadLog, match=found) as told:
        look_at_log(wb, tmp_path / "a.csv")
    assert told.value.found
    assert "a.csv" in told.value.where
    assert told.value.todo


def test_a_log_that_is_not_there_is_told_so(wb: Workbench, tmp_path: Path) -> None:
    with pytest.raises(BadLog, match="there is no such file; check its name and its folder"):
        look_at_log(wb, tmp_path / "heron.csv")


def test_without_a_workbench_a_log_can_be_looked_at_all_the_same(wb: Workbench, log: Path) -> None:
    look = look_at_log(None, log)
    assert look == look_at_log(wb, log)
    assert look.remembered is None


@pytest.mark.parametrize("packed", [False, True], ids=["plain", "gzip"])
def test_of_a_line_that_never_ends_only_the_beginning_is_read(tmp_path: Path, packed: bool) -> None:
    path = tmp_path / "endless.csv"
    endless = b"7" * (8 * LOOK_BYTES)
    path.write_bytes(gzip.compress(endless, 1) if packed else endless)
    del endless
    tracemalloc.start()
    try:
        with pytest.raises(BadLog, match="the line is longer than 1,048,576 bytes") as told:
            look_at_log(None, path)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert "endless.csv" in told.value.where
    assert "line 1" in told.value.where
    assert told.value.todo
    assert peak < 5 * LOOK_BYTES


def test_a_beginning_says_as_much_as_the_whole(folder: Folder, tmp_path: Path) -> None:
    header, *rows = folder.files["logs/wren-causeway-1.csv"].splitlines(keepends=True)
    short, long = (tmp_path / name / "a.csv" for name in ("short", "long"))
    for path, times in ((short, 1), (long, 1 + LOOK_BYTES // len(b"".join(rows)))):
        path.parent.mkdir()
        path.write_bytes(header + b"".join(rows) * times)
    assert long.stat().st_size > LOOK_BYTES
    assert look_at_log(None, long) == look_at_log(None, short)
