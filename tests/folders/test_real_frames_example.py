"""The measured example is a sound study, and says what its own notes say."""

from __future__ import annotations

import csv
from datetime import datetime
from pathlib import Path

from evenhand.folders.reading import read_study
from evenhand.folders.study_folder import STUDY_FILE, files_named
from evenhand.folders.writing import write_study

FOLDER = Path(__file__).parents[2] / "examples" / "real-frames"
STUDY = read_study((FOLDER / STUDY_FILE).read_text(encoding="utf-8"), where=STUDY_FILE)


def test_every_file_it_names_is_there() -> None:
    assert [name for name in files_named(STUDY) if not (FOLDER / name).is_file()] == []


def test_every_log_in_the_folder_is_named() -> None:
    there = {path.relative_to(FOLDER).as_posix() for path in FOLDER.glob("rig-*/*.csv")}
    assert there - set(files_named(STUDY)) == {"rig-one/order.csv", "rig-two/order.csv"}


def test_it_holds_four_runs_a_cell() -> None:
    cells = {(run.test, run.setup) for run in STUDY.runs}
    assert len(cells) == 12
    assert len(STUDY.runs) == 48


def test_starts_and_order_are_those_that_were_noted() -> None:
    noted = {}
    for rig in ("rig-one", "rig-two"):
        with (FOLDER / rig / "order.csv").open(encoding="utf-8") as lines:
            noted |= {f"{rig}/{row['test']}.{row['run']}.csv": row for row in csv.DictReader(lines)}
    frames = {run.log: run for run in STUDY.runs if run.log}
    assert frames.keys() == noted.keys()
    for log, run in frames.items():
        assert run.started_at == datetime.fromisoformat(noted[log]["started_utc"])
    by_order = sorted(frames, key=lambda log: frames[log].order or 0)
    assert by_order == sorted(noted, key=lambda log: noted[log]["started_utc"])


def test_the_held_menu_is_not_declared_as_held() -> None:
    assert all(test.locked_fps is None for test in STUDY.tests)


def test_it_survives_being_written() -> None:
    assert read_study(write_study(STUDY), where=STUDY_FILE) == STUDY
