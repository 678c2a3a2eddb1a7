"""What is told of a run's logs beside its numbers: every flaw, and how its sensor log was joined."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import numpy as np
import pytest
from tests.desk.small_folder import NOW, Folder, day_log, frame_log, frames

from evenhand.cli.listing import flaw_words
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.logs.measuring import nowhere
from evenhand.desk.logs.run_logs import LogFlaw, RunLogs, logs_of
from evenhand.desk.runs.deciding import find_run
from evenhand.records.layouts import LogKind
from evenhand.store.workbench import Workbench
from evenhand.traces.trace import SensorLog

SENSORS = {
    "time_of_day": {"column": "time"},
    "temperature": {"column": "board [°C]", "about": "board"},
    "clock": {"column": "core [MHz]", "about": "core"},
}


def told(wb: Workbench, folder: Folder, place: Path, label: str = "wren causeway 1") -> RunLogs:
    import_folder(wb, folder.write(place / "study"), now=NOW)
    return logs_of(wb, find_run(wb, label))


def standing_clock(rows: int) -> bytes:
    """A log whose clock says the same for some rows on end."""
    lines = frame_log(frames(100.0, seed=3)).decode().split("\n")
    stands = lines[20].split(",")[0]
    for at in range(21, 21 + rows):
        lines[at] = f"{stands},{lines[at].split(',')[1]}"
    return "\n".join(lines).encode()


def test_a_sound_log_has_nothing_to_tell(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    assert told(wb, folder, tmp_path) == RunLogs()


def test_a_clock_that_stands_still_is_told_with_line_and_count(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/wren-causeway-1.csv"] = standing_clock(5)
    (flaw,) = [f for f in told(wb, folder, tmp_path).flaws if f.kind == "clock stands still"]
    assert (flaw.log, flaw.line, flaw.count) == (LogKind.FRAMES, 22, 5)
    assert "elapsed time is the same as in the row before" in flaw.meaning
    assert flaw_words(flaw).startswith("frames log, clock stands still: lines 22, 23, 24 and 2 more (elapsed")


def test_a_comment_among_the_rows_is_told(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    log = folder.files["logs/wren-causeway-1.csv"].split(b"\n")
    folder.files["logs/wren-causeway-1.csv"] = b"\n".join([*log[:5], b"# door opened", *log[5:]])
    assert told(wb, folder, tmp_path).flaws == (
        LogFlaw(
            log=LogKind.FRAMES,
            kind="comment inside",
            meaning="a comment line stands among the rows; skipped",
            detail="line 6",
            line=6,
            count=1,
        ),
    )


@pytest.fixture
def sensed(folder: Folder) -> Folder:
    """The small study with a sensor log of some hours beside one run."""
    folder.files["sensors.csv"] = day_log(hot_from_s=3600.0)
    folder.document["layouts"].append({"name": "day", "kind": "sensors", "columns": SENSORS})
    folder.run("wren causeway 1").update(sensors="sensors.csv", started_at=NOW + timedelta(minutes=90))
    return folder


def test_a_zone_that_was_assumed_for_a_sensor_log_is_told(
    wb: Workbench, sensed: Folder, tmp_path: Path
) -> None:
    kinds = {(flaw.log, flaw.kind) for flaw in told(wb, sensed, tmp_path).flaws}
    assert (LogKind.SENSORS, "assumed zone") in kinds


def test_where_a_run_lies_in_its_sensor_log_is_told_in_a_sentence(
    wb: Workbench, sensed: Folder, tmp_path: Path
) -> None:
    words = told(wb, sensed, tmp_path).sensors_joined.replace("\u00a0", " ")
    assert words.startswith("The run begins 5,400.0 s into its sensor log, told by ")
    assert logs_of(wb, find_run(wb, "wren causeway 2")).sensors_joined == ""


def test_a_sensor_log_in_which_the_run_has_no_place_is_not_said_to_be_joined(
    wb: Workbench, sensed: Folder, tmp_path: Path
) -> None:
    sensed.run("wren causeway 1")["started_at"] = NOW + timedelta(days=3)
    assert told(wb, sensed, tmp_path).sensors_joined == ""


def test_what_a_score_table_holds_that_is_odd_is_told(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.files["scores.csv"] = b"test,run,minutes\nrender,1,12.05\n# again\nrender,2,12.1\n"
    columns = {name: {"column": name} for name in ("test", "run")} | {"score": {"column": "minutes"}}
    folder.document["layouts"].append({"name": "table", "kind": "scores", "columns": columns})
    run = folder.run("wren render 1")
    del run["score"]
    run.update(scores="scores.csv", row={"test": "render", "run": "1"})
    (flaw,) = told(wb, folder, tmp_path, "wren render 1").flaws
    assert (flaw.log, flaw.kind, flaw.line) == (LogKind.SCORES, "comment inside", 3)


def test_nothing_is_told_of_a_log_that_could_not_be_read(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/wren-causeway-1.csv"] = b""
    assert told(wb, folder, tmp_path) == RunLogs()
    assert np.isnan(find_run(wb, "wren causeway 1").metrics.values.get("average_fps", np.nan))


def test_a_sensor_log_whose_clock_runs_back_or_was_set_is_refused_in_words() -> None:
    def said(*time_s: float) -> str:
        return nowhere(SensorLog(time_s=np.array(time_s), channels=()), None, 30.0)

    assert said(60.0, 30.0, 2.0) == (
        "the clock of the sensor log runs back: its last reading lies 58 s before its first"
    )
    was_set = said(0.0, 1_938_480_000.0, 1_938_480_001.0)
    assert "was set while it was written: its readings span 22,436 days" in was_set
    assert said(0.0, 30.0, 60.0).startswith("the sensor log lasts 60 s, the run 30 s")
