"""What an import does: new, same, changed; what is refused and what is kept all the same."""

from __future__ import annotations

import re
from datetime import timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.desk.small_folder import (
    FRAME_COLUMNS,
    LATER,
    NOW,
    Folder,
    changed_tables,
    digest,
    everything,
    small_folder,
)

from evenhand.desk import readings
from evenhand.desk.columns import confirm_columns, look_at_log
from evenhand.desk.deciding import find_run, run_history
from evenhand.desk.importing import import_folder
from evenhand.desk.layouts import Question
from evenhand.desk.on_record import load_study
from evenhand.errors import BadRecord
from evenhand.records.runs import RunState
from evenhand.store import originals
from evenhand.store.workbench import Workbench
from evenhand.traces.frames import read_frames
from evenhand.traces.sensors import read_sensors
from evenhand.traces.trace import SensorLog, Trace

RUNS = 18


def counts(report) -> tuple[int, int, int]:
    return report.new, report.changed, report.same


# --- new, same, changed


def test_a_folder_comes_in_whole_and_lands(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    report = import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert (report.study, counts(report), report.refused) == ("quay", (RUNS, 0, 0), ())
    record = load_study(wb, "quay")
    assert len(record.runs) == RUNS
    assert {each.state for each in record.runs} == {RunState.LANDED}
    first = find_run(wb, "wren causeway 1")
    assert first.metrics.values["average_fps"] == pytest.approx(100.0, rel=0.03)
    assert first.metrics.values["frames"] == 800
    assert find_run(wb, "plover render 2").metrics.values == {"score": pytest.approx(10.0, rel=0.001)}


def test_every_original_is_kept_byte_for_byte(stocked: Workbench, folder: Folder) -> None:
    for name, content in folder.files.items():
        assert originals.original(stocked, digest(content)) == content
        assert originals.names(stocked, digest(content)) == (name,)


def test_importing_twice_changes_nothing_at_all(stocked: Workbench, tmp_path: Path) -> None:
    before = everything(stocked.path)
    report = import_folder(stocked, tmp_path / "study", now=LATER)
    assert counts(report) == (0, 0, RUNS)
    assert changed_tables(before, everything(stocked.path)) == set()


def test_renaming_files_changes_nothing_but_names(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    before = everything(stocked.path)
    for run in folder.runs:
        if "log" in run:
            new = run["log"].replace("logs/", "spring/")
            folder.files[new] = folder.files.pop(run["log"])
            run["log"] = new
    report = import_folder(stocked, folder.write(tmp_path / "renamed"), now=LATER)
    assert counts(report) == (0, 0, RUNS)
    assert changed_tables(before, everything(stocked.path)) == {"original_names", "seals"}


@pytest.mark.parametrize(
    ("label", "key", "value"),
    [
        ("wren render 2", "score", 12.03),
        ("wren causeway 2", "ambient_c", 24.5),
        ("plover render 1", "wall_w", 301.0),
    ],
)
def test_a_corrected_fact_is_a_change_with_history_and_no_new_run(
    stocked: Workbench, folder: Folder, tmp_path: Path, label: str, key: str, value: float
) -> None:
    before = find_run(stocked, label)
    folder.run(label)[key] = value
    report = import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert counts(report) == (0, 1, RUNS - 1)
    after = run_history(stocked, label)
    assert after.run.run.id == before.run.id
    assert getattr(after.run.run, key) == value
    assert [(change.before or {}).get(key) for change in after.changes] == [None, getattr(before.run, key)]
    assert [change.at for change in after.changes] == [NOW, LATER]


def test_a_corrected_score_changes_the_number_that_counts(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.run("wren render 2")["score"] = 12.03
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert find_run(stocked, "wren render 2").metrics.values == {"score": 12.03}


def test_a_later_run_joins_and_the_others_stay(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    import_folder(wb, folder.without("plover causeway 3").write(tmp_path / "study"), now=NOW)
    report = import_folder(wb, folder.write(tmp_path / "study"), now=LATER)
    assert counts(report) == (1, 0, RUNS - 1)


def test_a_run_taken_out_of_the_folder_stays_on_record_and_is_told(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    report = import_folder(stocked, folder.without("wren causeway 1").write(tmp_path / "study"), now=LATER)
    assert counts(report) == (0, 0, RUNS - 1)
    assert find_run(stocked, "wren causeway 1").state is RunState.LANDED
    assert [run.label for run in report.not_named] == ["wren causeway 1"]


def test_a_corrected_log_is_another_run_and_the_earlier_one_is_told(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/wren-causeway-1.csv"] = folder.files["logs/wren-causeway-1.csv"][:-200]
    report = import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert counts(report) == (1, 0, RUNS - 1)
    assert [run.label for run in report.not_named] == ["wren causeway 1"]


def test_a_whole_folder_leaves_nothing_unnamed(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    assert import_folder(stocked, folder.write(tmp_path / "study"), now=LATER).not_named == ()


def test_the_same_bytes_twice_are_two_runs_and_the_second_is_held_as_a_twin(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "copy", "log": "logs/copy.csv"})
    report = import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert report.new == RUNS + 1
    origin, copy = find_run(wb, "wren causeway 2"), find_run(wb, "copy")
    assert origin.run.log == copy.run.log
    assert origin.run.id != copy.run.id
    assert (origin.state, copy.state) == (RunState.LANDED, RunState.IN_DOUBT)
    assert [fault.kind for fault in copy.faults] == ["twin"]
    assert copy.metrics.values == origin.metrics.values
    assert counts(import_folder(wb, tmp_path / "study", now=LATER)) == (0, 0, RUNS + 1)


# --- told before anything is stored


def test_a_missing_file_is_told_before_anything_is_stored(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    study = folder.write(tmp_path / "study")
    (study / "logs/wren-causeway-2.csv").unlink()
    before = everything(wb.path)
    with pytest.raises(BadRecord, match=r"1 named file\(s\) are not there: logs/wren-causeway-2.csv"):
        import_folder(wb, study, now=NOW)
    assert changed_tables(before, everything(wb.path)) == set()


def test_an_unknown_key_is_told_with_the_nearest_one_before_anything_is_stored(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.run("wren render 1")["ambiant_c"] = 23.0
    before = everything(wb.path)
    with pytest.raises(BadRecord) as told:
        import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert "ambiant_c" in str(told.value)
    assert "did you mean 'ambient_c'?" in str(told.value)
    assert "study.toml, line" in told.value.where
    assert changed_tables(before, everything(wb.path)) == set()


def test_a_folder_without_a_study_file_is_refused_in_words(wb: Workbench, tmp_path: Path) -> None:
    with pytest.raises(BadRecord, match=r"there is no study\.toml here"):
        import_folder(wb, tmp_path / "nowhere", now=NOW)


# --- columns that somebody has to confirm


@pytest.fixture
def bare(folder: Folder) -> Folder:
    """The small study without a word on which column is what."""
    del folder.document["layouts"]
    return folder


def test_columns_nobody_confirmed_are_refused_in_words_and_everything_is_kept(
    wb: Workbench, bare: Folder, tmp_path: Path
) -> None:
    report = import_folder(wb, bare.write(tmp_path / "study"), now=NOW)
    assert report.new == RUNS
    assert len(report.refused) == 12
    assert "nobody has confirmed what its columns are" in report.refused[0].why
    assert "frame [ms] = frame time" in report.refused[0].why
    for content in bare.files.values():
        assert originals.original(wb, digest(content)) == content
    waiting = find_run(wb, "wren causeway 1")
    assert waiting.state is RunState.IN_DOUBT
    assert [fault.kind for fault in waiting.faults] == ["unreadable log"]
    assert find_run(wb, "wren render 1").state is RunState.LANDED


def test_once_confirmed_importing_again_brings_the_numbers(
    wb: Workbench, bare: Folder, tmp_path: Path
) -> None:
    study = bare.write(tmp_path / "study")
    import_folder(wb, study, now=NOW)
    ids = {each.run.id for each in load_study(wb, "quay").runs}
    confirm_columns(wb, look_at_log(wb, study / "logs/wren-causeway-1.csv"), now=NOW)
    report = import_folder(wb, study, now=LATER)
    assert (counts(report), report.refused) == ((0, 12, 6), ())
    record = load_study(wb, "quay")
    assert {each.run.id for each in record.runs} == ids
    assert {each.state for each in record.runs} == {RunState.LANDED}
    assert find_run(wb, "wren causeway 1").metrics.values["average_fps"] == pytest.approx(100.0, rel=0.03)


@pytest.mark.parametrize("yes", [True, False])
def test_a_person_is_asked_once_for_each_header(
    wb: Workbench, bare: Folder, tmp_path: Path, yes: bool
) -> None:
    asked: list[Question] = []

    def ask(question: Question) -> bool:
        asked.append(question)
        return yes

    report = import_folder(wb, bare.write(tmp_path / "study"), now=NOW, ask=ask)
    assert len(asked) == 1
    assert [column.role for column in asked[0].columns] == ["elapsed time", "frame time"]
    assert len(report.refused) == (0 if yes else 12)


def test_layouts_are_remembered_by_header_for_every_later_study(stocked: Workbench, tmp_path: Path) -> None:
    other = small_folder("mole", seed=2)
    del other.document["layouts"]
    report = import_folder(stocked, other.write(tmp_path / "mole"), now=LATER)
    assert (counts(report), report.refused) == ((RUNS, 0, 0), ())


def test_a_log_of_another_kind_than_the_run_needs_is_told_so(
    wb: Workbench, bare: Folder, tmp_path: Path
) -> None:
    bare.files["logs/wren-causeway-1.csv"] = day_log(hot_from_s=60.0, hours=0.5)
    report = import_folder(wb, bare.write(tmp_path / "study"), now=NOW, ask=lambda _: True)
    assert len(report.refused) == 1
    assert "it looks like a log of sensors, and the run needs one of frames" in report.refused[0].why


@pytest.fixture
def read_logs(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """The names of the frame logs that are read, in no particular order."""
    names: list[str] = []

    def noted(*args: Any, name: str, **more: Any) -> Trace:
        names.append(name)
        return read_frames(*args, name=name, **more)

    monkeypatch.setattr(readings, "read_frames", noted)
    return names


def test_a_corrected_layout_corrects_the_numbers_at_once_and_nothing_is_read_twice(
    wb: Workbench, folder: Folder, tmp_path: Path, read_logs: list[str]
) -> None:
    columns = {"frame_time": {"column": "frame [ms]", "unit": "s"}}
    folder.document["layouts"] = [{"name": "bench log", "kind": "frames", "columns": columns}]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert find_run(wb, "wren causeway 1").metrics.values["average_fps"] == pytest.approx(0.1, rel=0.03)
    columns["frame_time"]["unit"] = "ms"
    assert counts(import_folder(wb, folder.write(tmp_path / "study"), now=LATER)) == (0, 12, 6)
    assert find_run(wb, "wren causeway 1").metrics.values["average_fps"] == pytest.approx(100, rel=0.03)
    assert {each.state for each in load_study(wb, "quay").runs} == {RunState.LANDED}
    before, _ = everything(wb.path), read_logs.clear()
    assert counts(import_folder(wb, tmp_path / "study", now=LATER)) == (0, 0, RUNS)
    assert (read_logs, changed_tables(before, everything(wb.path))) == ([], set())
    columns["frame_time"]["unit"] = "s"
    assert counts(import_folder(wb, folder.write(tmp_path / "study"), now=LATER)) == (0, 12, 6)
    assert find_run(wb, "wren causeway 1").metrics.values["average_fps"] == pytest.approx(0.1, rel=0.03)


def test_of_two_runs_with_the_same_bytes_each_has_the_numbers_of_its_own_layout(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    """The copy is read in seconds first; corrected, it must not pass for measured because its twin is."""
    for unit in ("ms", "s"):
        columns = {"frame_time": {"column": "frame [ms]", "unit": unit}}
        folder.document["layouts"].append({"name": f"in {unit}", "kind": "frames", "columns": columns})
    for run in folder.runs:
        if "log" in run:
            run["layout"] = "in ms"
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    about = {"test": "causeway", "setup": "wren", "label": "copy", "log": "copy.csv", "layout": "in s"}
    folder.runs.append(about)
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    folder.run("copy")["layout"] = "in ms"
    assert counts(import_folder(wb, folder.write(tmp_path / "study"), now=LATER)) == (0, 1, RUNS)
    assert find_run(wb, "copy").metrics.values == find_run(wb, "wren causeway 2").metrics.values


def test_two_layouts_that_fit_equally_well_leave_the_choice_to_the_person(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["layouts"].append({"name": "twin", "kind": "frames", "columns": FRAME_COLUMNS})
    report = import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert len(report.refused) == 12
    assert "the layouts 'bench log' and 'twin' both fit" in report.refused[0].why


# --- logs that cannot be read

UNREADABLE = {
    "binary": bytes(range(256)) * 40,
    "empty": b"",
    "header only": b"t [s],frame [ms]\n",
    "not a number": b"t [s],frame [ms]\n" + b"nan,nan\n" * 50,
    "cut archive": b"\x1f\x8b\x08\x00\x00\x00\x00\x00",
    "another header": b"a,b\n" + b"x,y\n" * 20,
}


@pytest.mark.parametrize("content", UNREADABLE.values(), ids=UNREADABLE.keys())
def test_an_unreadable_log_is_kept_and_held_and_the_rest_comes_in(
    wb: Workbench, folder: Folder, tmp_path: Path, content: bytes
) -> None:
    folder.files["logs/plover-tramlines-2.csv"] = content
    report = import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert report.new == RUNS
    assert [one.file for one in report.refused] == ["logs/plover-tramlines-2.csv"]
    held = find_run(wb, "plover tramlines 2")
    assert held.state is RunState.IN_DOUBT
    assert [fault.kind for fault in held.faults] == ["unreadable log"]
    assert held.faults[0].evidence
    assert held.run.log == digest(content)
    assert originals.original(wb, digest(content)) == content
    states = [each.state for each in load_study(wb, "quay").runs if each.run.id != held.run.id]
    assert states == [RunState.LANDED] * (RUNS - 1)
    before = everything(wb.path)
    import_folder(wb, tmp_path / "study", now=LATER)
    assert changed_tables(before, everything(wb.path)) == set()


def test_what_cannot_be_judged_about_an_unreadable_log_is_said(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/plover-tramlines-2.csv"] = b""
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert run_history(wb, "plover tramlines 2").unjudged == ("Anything: its log could not be read.",)


def test_a_log_past_the_limit_is_refused_and_puts_no_empty_run_on_record(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    before = everything(stocked.path)
    huge = tmp_path / "study" / "logs/wren-causeway-1.csv"
    with huge.open("r+b") as file:
        file.truncate(2**31)  # a sparse file: it takes no room on the disk
    report = import_folder(stocked, tmp_path / "study", now=LATER)
    assert counts(report) == (0, 0, RUNS - 1)
    assert "past the limit" in report.refused[0].why
    assert changed_tables(before, everything(stocked.path)) == set()


def test_a_run_too_short_for_its_headline_number_is_held(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["tests"][0] |= {"metric": "low_1pct", "also": []}
    log = "logs/wren-causeway-1.csv"
    folder.files[log] = b"\n".join(folder.files[log].split(b"\n")[:60])
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    held = find_run(wb, "wren causeway 1")
    assert held.state is RunState.IN_DOUBT
    assert held.faults[0].kind == "no headline number"
    assert re.search(r"needs [\d,]+ frames", held.faults[0].evidence)


# --- score tables and sensor logs

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
    assert "cannot be compared" in unread.faults[0].evidence
    assert counts(import_folder(wb, tmp_path / "study", now=LATER)) == (0, 0, RUNS)


def test_a_row_that_is_not_in_the_table_is_told(wb: Workbench, tabled: Folder, tmp_path: Path) -> None:
    tabled.run("wren render 2")["row"] = {"test": "render", "run": "9"}
    import_folder(wb, tabled.write(tmp_path / "study"), now=NOW)
    told = find_run(wb, "wren render 2").faults[0].evidence
    assert "0 rows answer to test 'render', run '9'" in told


def day_log(*, hot_from_s: float, hours: float = 3.0) -> bytes:
    """Two readings a minute over some hours: 50 °C at first, 80 °C from a moment on."""
    seconds = np.arange(0.0, hours * 3600, 2.0).tolist()
    times = ((NOW + timedelta(seconds=s)).strftime("%Y-%m-%d %H:%M:%S") for s in seconds)
    rows = (f"{t},{80 if s >= hot_from_s else 50},4500" for s, t in zip(seconds, times, strict=True))
    return "\n".join(["time,board [°C],core [MHz]", *rows, ""]).encode()


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
        (NOW + timedelta(days=30), "has no reading in the time from"),
    ],
)
def test_a_run_whose_part_cannot_be_picked_says_why(
    wb: Workbench, sensed: Folder, tmp_path: Path, started_at: object, why: str
) -> None:
    run = sensed.run("wren causeway 1")
    run.pop("started_at") if started_at is None else run.update(started_at=started_at)
    import_folder(wb, sensed.write(tmp_path / "study"), now=NOW)
    assert why in find_run(wb, "wren causeway 1").metrics.absent["sensors"]


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


# --- studies side by side


def test_a_changed_setup_that_another_study_uses_is_refused_and_nothing_is_stored(
    stocked: Workbench, tmp_path: Path
) -> None:
    other = small_folder("mole", seed=2)
    other.document["setups"][0]["stamps"] = {"os": "Tern 10"}
    before = everything(stocked.path)
    with pytest.raises(BadRecord, match="'wren' differs from what study 'quay' uses under that name"):
        import_folder(stocked, other.write(tmp_path / "mole"), now=LATER)
    assert changed_tables(before, everything(stocked.path)) == set()


@pytest.mark.parametrize(
    ("table", "field", "value", "told"),
    [
        ("parts", "name", "Brellow K7", "part 'k6' .*: name is 'Brellow K6' there, 'Brellow K7' here"),
        ("builds", "name", "Wren II", "build 'wren' .*: name is 'Wren' there, 'Wren II' here"),
        ("builds", "slot", 4, "build 'wren' .*: slot is '1' there, '4' here"),
        ("builds", "parts", [], "build 'wren' .*: parts is 'k6' there, not given here"),
        ("setups", "state", "tuned", "setup 'wren' .*: state is 'stock' there, 'tuned' here"),
        ("tests", "name", "Salt Road", "test 'causeway' .*: name is 'Salt Causeway' there, 'Salt Road' here"),
    ],
)
def test_another_studys_parts_builds_setups_and_tests_may_not_change_and_the_difference_is_told(
    wb: Workbench, folder: Folder, tmp_path: Path, table: str, field: str, value: object, told: str
) -> None:
    other = small_folder("mole", seed=2)
    for each in (folder, other):  # so that a setup does not take its name from its build
        each.document["setups"][0]["name"] = each.document["setups"][1]["name"] = "as bought"
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    other.document[table][0][field] = value
    before = everything(wb.path)
    with pytest.raises(BadRecord, match=told):
        import_folder(wb, other.write(tmp_path / "mole"), now=LATER)
    assert changed_tables(before, everything(wb.path)) == set()


def test_a_build_that_only_this_study_uses_may_change(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["builds"][0]["name"] = "Wren II"
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert load_study(stocked, "quay").builds["wren"].name == "Wren II"


def test_a_setup_that_only_this_study_uses_may_change(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["setups"][0]["stamps"] = {"os": "Tern 10"}
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert load_study(stocked, "quay").setups["wren"].stamps == {"os": "Tern 10"}


def test_studies_may_share_a_run(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.document["study"]["key"] = "mole"
    report = import_folder(stocked, folder.write(tmp_path / "mole"), now=LATER)
    shared = {each.run.id for each in load_study(stocked, "mole").runs if each.run.log}
    assert shared == {each.run.id for each in load_study(stocked, "quay").runs if each.run.log}
    assert counts(report) == (6, 12, 0)  # scores written by hand belong to the study that wrote them


def test_what_is_found_on_a_shared_run_does_not_depend_on_which_study_came_last(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    """Held for another driver than its siblings; a study without these siblings does not let it go."""
    for label, driver in (("1", "31.4"), ("2", "31.4"), ("3", "31.6")):
        folder.run(f"wren causeway {label}")["stamps"] = {"driver": driver}
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    other = small_folder("mole", seed=2)
    other.document["runs"] = [folder.run("wren causeway 3")]
    other.files = folder.files
    import_folder(wb, other.write(tmp_path / "mole"), now=LATER)
    for key in ("quay", "mole"):
        (held,) = (each for each in load_study(wb, key).runs if each.run.label == "wren causeway 3")
        assert held.state is RunState.IN_DOUBT
    before = everything(wb.path)
    import_folder(wb, tmp_path / "study", now=LATER)
    assert everything(wb.path)["faults"] == before["faults"]


def test_runs_of_tests_and_setups_that_are_not_compared_are_on_record_all_the_same(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["builds"].append({"key": "dunlin", "name": "Dunlin", "slot": 3})
    folder.document["setups"].append({"key": "dunlin", "build": "dunlin"})
    folder.document["study"] |= {"setups": ["wren", "plover"], "tests": ["causeway", "render"]}
    folder.runs.append({"test": "render", "setup": "dunlin", "label": "dunlin render 1", "score": 11.0})
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    record = load_study(wb, "quay")
    assert len(record.runs) == RUNS + 1
    assert {test.key for test in record.compared_tests} == {"causeway", "render"}
    assert find_run(wb, "dunlin render 1").state is RunState.LANDED
    assert find_run(wb, "plover tramlines 1").state is RunState.LANDED


# --- progress


def test_runs_told_by_progress_are_on_record_for_every_other_reader(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    told: list[tuple[int, int, int]] = []

    def watch(done: int, total: int, _label: str) -> None:
        told.append((done, total, len(everything(wb.path)["runs"])))

    import_folder(wb, folder.write(tmp_path / "study"), now=NOW, watch=watch)
    assert told[:3] == [(8, 18, 8), (16, 18, 16), (18, 18, 18)]
    assert [step[:2] for step in told[3:]] == [(1, 3), (2, 3), (3, 3)]  # judging


def test_runs_of_a_stopped_import_wait_until_they_are_judged(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    class Stopped(Exception):
        pass

    def watch(done: int, _total: int, _label: str) -> None:
        if done == 16:
            raise Stopped

    with pytest.raises(Stopped):
        import_folder(wb, folder.write(tmp_path / "study"), now=NOW, watch=watch)
    record = load_study(wb, "quay")
    assert len(record.runs) == 16
    assert {each.state for each in record.runs} == {RunState.IN_DOUBT}
    assert {fault.kind for each in record.runs for fault in each.faults} == {"not judged yet"}
    assert counts(import_folder(wb, tmp_path / "study", now=LATER)) == (2, 0, 16)
    assert {each.state for each in load_study(wb, "quay").runs} == {RunState.LANDED}
