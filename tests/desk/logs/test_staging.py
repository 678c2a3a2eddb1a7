"""A study folder on its way lies apart, takes only what its study file names, and does not lie for ever."""

from __future__ import annotations

import io
import os
from datetime import timedelta
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, small_folder

from evenhand.desk.bench.spool import folder_of
from evenhand.desk.logs.staging import add_file, begin_study, clear, place_of
from evenhand.errors import BadRecord, NotFound, StoreProblem
from evenhand.store.workbench import Workbench, open_workbench


def study_file(tmp_path: Path, log: str | None = None) -> bytes:
    folder = small_folder()
    if log is not None:
        folder.runs[0]["log"] = log
    folder.write(tmp_path / "quay")
    return (tmp_path / "quay" / "study.toml").read_bytes()


@pytest.fixture
def wb(tmp_path: Path) -> Workbench:
    opened = open_workbench(tmp_path / "bench.evenhand")
    opened.close()
    return opened


def test_only_what_the_study_names_is_taken_and_a_broken_sender_leaves_no_half(
    wb: Workbench, tmp_path: Path
) -> None:
    stage = begin_study(wb, study_file(tmp_path), now=NOW)
    add_file(wb, stage.id, stage.wanted[0], io.BytesIO(b"frame\n1\n"))
    assert (stage.folder / stage.wanted[0]).read_bytes() == b"frame\n1\n"

    class Broken(io.BytesIO):
        def read(self, size: int | None = -1) -> bytes:
            raise ConnectionError

    with pytest.raises(StoreProblem, match="cannot be kept"):
        add_file(wb, stage.id, stage.wanted[1], Broken())
    assert not (stage.folder / stage.wanted[1]).exists()
    with pytest.raises(BadRecord, match="names no such file"):
        add_file(wb, stage.id, "../outside.csv", io.BytesIO(b"x"))


@pytest.mark.parametrize("log", ["../outside.csv", "/etc/outside.csv", "C:/outside.csv"])
def test_a_study_file_that_names_files_elsewhere_is_refused(wb: Workbench, tmp_path: Path, log: str) -> None:
    text = study_file(tmp_path).replace(b"logs/wren-causeway-1.csv", log.encode())
    with pytest.raises(BadRecord):
        begin_study(wb, text, now=NOW)
    assert not list(folder_of(wb).iterdir())


def test_what_nobody_went_on_with_for_days_makes_room(wb: Workbench, tmp_path: Path) -> None:
    text = study_file(tmp_path)
    old = begin_study(wb, text, now=NOW)
    then = (NOW - timedelta(days=4)).timestamp()
    os.utime(old.folder, (then, then))
    new = begin_study(wb, text, now=NOW)
    with pytest.raises(NotFound):
        place_of(wb, old.id)
    assert place_of(wb, new.id) == new.folder
    clear(wb, new.id)
    assert not list(folder_of(wb).iterdir())
