"""What an import does about columns: asked once, remembered, corrected."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import (
    FRAME_COLUMNS,
    LATER,
    NOW,
    Folder,
    changed_tables,
    day_log,
    digest,
    everything,
    small_folder,
)

from evenhand.desk.logs import readings
from evenhand.desk.logs.column_questions import Question
from evenhand.desk.logs.columns import confirm_columns, look_at_log
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.deciding import find_run
from evenhand.records.runs import RunState
from evenhand.store import originals
from evenhand.store.workbench import Workbench
from evenhand.traces.frames import read_frames
from evenhand.traces.trace import Trace

RUNS = 18


def counts(report) -> tuple[int, int, int]:
    return report.new, report.changed, report.same


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
    assert [fault.kind for fault in waiting.faults] == ["unreadable-log"]
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
