"""What is written out of a workbench is whole or not there, and a full disk is told as one."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest
from tests.desk.same_content import assert_comes_back_the_same
from tests.desk.small_folder import NOW

from evenhand.desk.comparison.charting import draw_study, save_pictures
from evenhand.desk.demonstrating import write_raw
from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.writing_out import DRAFT, filled_at_once, write_whole
from evenhand.errors import BadRecord
from evenhand.store.workbench import Workbench

FULL = "the disk is full; make room and repeat the step, or name another folder"


def small_disk(patch: pytest.MonkeyPatch, *, files: int) -> None:
    """Lets a number of files through, then takes half of one and is full."""
    write, written = Path.write_bytes, []

    def full(path: Path, data: bytes) -> int:
        written.append(path)
        if len(written) <= files:
            return write(path, data)
        write(path, data[: len(data) // 2])
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    patch.setattr(Path, "write_bytes", full)


@pytest.mark.parametrize("there", [True, False], ids=["an empty folder", "a new folder"])
def test_an_export_to_a_full_disk_leaves_nothing_and_can_be_repeated(
    stocked: Workbench, tmp_path: Path, there: bool
) -> None:
    target = tmp_path / "media" / "study"
    if there:
        target.mkdir(parents=True)
    with pytest.MonkeyPatch.context() as patch:
        small_disk(patch, files=3)
        with pytest.raises(BadRecord) as told:
            export_study(stocked, "quay", target)
    assert str(told.value) == f"{target}: {FULL}"
    assert target.exists() is there
    assert not there or list(target.iterdir()) == []
    assert export_study(stocked, "quay", target).folder == target
    assert (target / "study.toml").is_file()
    assert not [each for each in target.iterdir() if each.name.startswith(DRAFT)]
    assert_comes_back_the_same(stocked, "quay", tmp_path)


def test_the_study_file_moves_in_last(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    moved: list[str] = []
    rename = Path.rename
    monkeypatch.setattr(Path, "rename", lambda path, to: (moved.append(path.name), rename(path, to))[1])
    with filled_at_once(tmp_path / "study", last="a.toml") as half:
        for name in ("b.csv", "a.toml", "c.csv"):
            (half / name).write_text("x")
    assert moved == ["b.csv", "c.csv", "a.toml"]


def test_what_a_stopped_step_left_is_told_by_name(stocked: Workbench, tmp_path: Path) -> None:
    left = tmp_path / "out" / f"{DRAFT}12"
    left.mkdir(parents=True)
    with pytest.raises(BadRecord, match=f"a step that was stopped left {DRAFT}12 here"):
        export_study(stocked, "quay", tmp_path / "out")


def test_pictures_and_the_raw_example_tell_a_full_disk_in_the_same_words(
    stocked: Workbench, tmp_path: Path
) -> None:
    drawn = draw_study(stocked, "quay", now=NOW)[:2]
    with pytest.MonkeyPatch.context() as patch:
        small_disk(patch, files=2)
        with pytest.raises(BadRecord) as told:
            save_pictures(drawn, tmp_path / "pictures")
        with pytest.raises(BadRecord) as of_example:
            write_raw(tmp_path / "raw")
    assert str(told.value) == f"{tmp_path / 'pictures'}: {FULL}"
    assert str(of_example.value) == f"{tmp_path / 'raw'}: {FULL}"
    assert len(list((tmp_path / "pictures").iterdir())) == 2, "no half picture"


def test_a_file_that_stood_there_before_stays_where_the_new_one_does_not_fit(tmp_path: Path) -> None:
    path = tmp_path / "a.svg"
    write_whole(path, b"earlier")
    with pytest.MonkeyPatch.context() as patch:
        small_disk(patch, files=0)
        with pytest.raises(OSError, match="space"):
            write_whole(path, b"later")
    assert path.read_bytes() == b"earlier"
    assert list(tmp_path.iterdir()) == [path]
