"""What an import takes from score tables and sensor logs."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import (
    LATER,
    NOW,
    Folder,
    changed_tables,
    day_log,
    digest,
    everything,
)

from evenhand.desk.logs import readings
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.deciding import find_run
from evenhand.records.runs import RunState
from evenhand.store import originals
from evenhand.store.workbench import Workbench
from evenhand.traces.sensors import read_sensors
from evenhand.traces.trace import SensorLog

RUNS = 18


def counts(report) -> tuple[int, int, int]:
    return report.new, report.changed, report.same


SCORE_COLUMNS = {"test": {"column": "task"}, "run": {"column": "take"}, "score": {"column": "result"}}


@pytest.fixture
def tabled(folder: Folder) -> Folder:
    """The small study with the scores of one setup in a table."""
    folder.files["scores.csv"] = b"task,take,result\nrender,1,11.9\nrender,2,12.0\nrender,3,-\nother,1,5\n"
    folder.document["layouts"].append({"name": "scores", "kind": "scores", "columns": SCORE_COLUMNS})
    for take in (1, 2, 3):
        run = folder.run(f"wren render {take}")
        del run["score"]
        run |= {"scores": "scores.csv", "row": {"test": "render", "run": str(take)}}
    return folder


def test_scores_come_from_the_rows_the_runs_name(wb: Workbench, tabled: Folder, tmp_path: Path) -> None:
    report = import_folder(wb, tabled.write(tmp_path / "study"), now=NOW)
    assert find_run(wb, "wren render 1").run.score == 11.9
    assert find_run(wb, "wren render 2").metrics.values == {"score": 12.0}
    assert len(report.refused) == 1
    unread = find_run(wb, "wren render 3")
    assert unread.state is RunState.IN_DOUBT
    told = unread.faults[0].evidence
    assert "scores.csv, line 4, column 'result': a score of nan cannot be compared as a ratio" in told
    assert counts(import_folder(wb, tmp_path / "study", now=LATER)) == (0, 0, RUNS)


def test_a_row_that_is_not_in_the_table_is_told(wb: Workbench, tabled: Folder, tmp_path: Path) -> None:
    tabled.run("wren render 2")["row"] = {"test": "render", "run": "9"}
    import_folder(wb, tabled.write(tmp_path / "study"), now=NOW)
    told = find_run(wb, "wren render 2").faults[0].evidence
    assert "0 rows answer to test 'render', run '9'; the table has render 1, render 2" in told


@pytest.mark.parametrize("wrong", ["-4", "0", "NaN", "inf", "three"])
def test_a_score_that_is_no_number_above_zero_is_told_with_its_line(
    wb: Workbench, tabled: Folder, tmp_path: Path, wrong: str
) -> None:
    table = f"task,take,result\nrender,1,11.9\nrender,2,{wrong}\nrender,3,12\n"
    tabled.files["scores.csv"] = table.encode()
    report = import_folder(wb, tabled.write(tmp_path / "study"), now=NOW)
    assert [one.why.split(": a score")[0] for one in report.refused] == [
        "scores.csv, line 3, column 'result'"
    ]


def test_a_table_without_a_column_of_tests_is_of_the_test_of_its_run(
    wb: Workbench, tabled: Folder, tmp_path: Path
) -> None:
    tabled.files["scores.csv"] = b"take,result\n1,11.9\n2,12.0\n3,12.1\n"
    tabled.document["layouts"][-1]["columns"] = {k: SCORE_COLUMNS[k] for k in ("run", "score")}
    for take in (1, 2, 3):
        tabled.run(f"wren render {take}")["row"] = {"run": str(take)}
    assert import_folder(wb, tabled.write(tmp_path / "study"), now=NOW).refused == ()
    assert find_run(wb, "wren render 3").run.score == 12.1


def test_rows_that_share_a_name_are_told_with_their_lines(
    wb: Workbench, tabled: Folder, tmp_path: Path
) -> None:
    tabled.files["scores.csv"] += b"render,1,12.5\n"
    report = import_folder(wb, tabled.write(tmp_path / "study"), now=NOW)
    assert "2 rows answer to test 'render', run '1' (lines 2 and 6)" in report.refused[0].why


def test_rows_of_a_table_without_a_column_of_runs_are_numbered_as_they_stand(
    wb: Workbench, tabled: Folder, tmp_path: Path
) -> None:
    tabled.files["scores.csv"] = b"result,remark\n11.9,calm\n12.0,calm\n"
    tabled.document["layouts"][-1]["columns"] = {"score": SCORE_COLUMNS["score"]}
    report = import_folder(wb, tabled.write(tmp_path / "study"), now=NOW)
    assert [find_run(wb, f"wren render {k}").run.score for k in (1, 2)] == [11.9, 12.0]
    assert [one.why.split(";")[0] for one in report.refused] == [
        "scores.csv: 0 rows answer to test 'render', run '3'"
    ]


SENSOR_COLUMNS = {
    "time_of_day": {"column": "time", "unit": "UTC"},
    "temperature": {"column": "board [°C]", "unit": "°C", "about": "board"},
    "clock": {"column": "core [MHz]", "unit": "MHz", "about": "processor"},
}


@pytest.fixture
def sensed(folder: Folder) -> Folder:
    """The small study with one sensor log for a whole day."""
    folder.files["sensors.csv"] = day_log(hot_from_s=3600.0)
    folder.document["layouts"].append({"name": "day", "kind": "sensors", "columns": SENSOR_COLUMNS})
    for label, minutes in (("wren causeway 1", 10), ("wren causeway 2", 90)):
        folder.run(label).update(sensors="sensors.csv", started_at=NOW + timedelta(minutes=minutes))
    return folder


def temperature(wb: Workbench, label: str) -> float:
    values = find_run(wb, label).metrics.values
    return next(v for k, v in values.items() if "temperature" in k and "median" in k)


def test_the_start_of_a_run_picks_its_part_of_a_sensor_log_of_a_whole_day(
    wb: Workbench, sensed: Folder, tmp_path: Path
) -> None:
    report = import_folder(wb, sensed.write(tmp_path / "study"), now=NOW)
    assert report.refused == ()
    assert temperature(wb, "wren causeway 1") == 50
    assert temperature(wb, "wren causeway 2") == 80
    before = everything(wb.path)
    import_folder(wb, tmp_path / "study", now=LATER)
    assert changed_tables(before, everything(wb.path)) == set()


def test_a_sensor_log_of_a_whole_day_is_read_once_however_many_runs_name_it(
    wb: Workbench, sensed: Folder, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    names: list[str] = []

    def noted(*args: Any, name: str, **more: Any) -> SensorLog:
        names.append(name)
        return read_sensors(*args, name=name, **more)

    monkeypatch.setattr(readings, "read_sensors", noted)
    for minutes, run in enumerate(sensed.runs):
        run.update(sensors="sensors.csv", started_at=NOW + timedelta(minutes=minutes), duration_s=30.0)
    import_folder(wb, sensed.write(tmp_path / "study"), now=NOW)
    assert names == ["sensors.csv"]
    assert all(any("temperature" in key for key in r.metrics.values) for r in load_study(wb, "quay").runs)


@pytest.mark.parametrize(
    ("started_at", "why"),
    [
        (None, "its start is needed to pick its part"),
        (
            NOW + timedelta(days=30),
            r"no reading between 2031-06-03T09:30:00\+00:00 and 2031-06-03T09:30:\d\d\+00",
        ),
    ],
)
def test_a_run_whose_part_cannot_be_picked_says_why(
    wb: Workbench, sensed: Folder, tmp_path: Path, started_at: object, why: str
) -> None:
    run = sensed.run("wren causeway 1")
    run.pop("started_at") if started_at is None else run.update(started_at=started_at)
    import_folder(wb, sensed.write(tmp_path / "study"), now=NOW)
    assert re.search(why, find_run(wb, "wren causeway 1").metrics.absent["sensors"])


@pytest.mark.parametrize(
    "content", [b"time,board [\xc2\xb0C],core [MHz]\n" + b"x,nan,nan\n" * 9, b"\0\1\2" * 99]
)
def test_an_unreadable_sensor_log_is_told_and_the_frames_count_all_the_same(
    wb: Workbench, sensed: Folder, tmp_path: Path, content: bytes
) -> None:
    sensed.files["sensors.csv"] = content
    report = import_folder(wb, sensed.write(tmp_path / "study"), now=NOW)
    assert {one.file for one in report.refused} == {"sensors.csv"}
    each = find_run(wb, "wren causeway 1")
    assert each.state is RunState.LANDED
    assert each.metrics.absent["sensors"]
    assert originals.original(wb, digest(content)) == content
