"""The evidence of a study and of a run: what is drawn, under which names, and what is left out and told."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, Folder, frame_log, frames

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import RunOnRecord, load_study
from evenhand.desk.runs.deciding import find_run, keep, set_aside
from evenhand.desk.runs.evidence_charts import (
    MOST,
    NOTHING_TO_SEE,
    SAME_IN_CELL,
    TOO_MANY,
    Charts,
    chart_run,
    chart_study,
    chosen,
)
from evenhand.desk.runs.said import Said
from evenhand.errors import NotFound
from evenhand.records.faults import Fault, Severity
from evenhand.records.runs import RunState
from evenhand.store.workbench import Workbench


def names(charts: Charts) -> list[str]:
    return [one.name for one in charts.drawn]


def evidence(charts: Charts) -> list[str]:
    return [name for name in names(charts) if name.startswith("evidence")]


def on_record(wb: Workbench, label: str) -> RunOnRecord:
    run = find_run(wb, label).run
    return next(each for each in load_study(wb, "quay").runs if each.run.id == run.id)


def with_copy(wb: Workbench, folder: Folder, tmp_path: Path) -> str:
    """A study in which one log was filed twice; the id of the copy."""
    folder.files["copy.csv"] = folder.files["logs/wren-causeway-2.csv"]
    folder.runs.append({"test": "causeway", "setup": "wren", "label": "copy", "log": "copy.csv"})
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    return find_run(wb, "copy").run.id


def held_for_stamps(folder: Folder, *labels: str) -> None:
    """Runs on another driver than the rest."""
    for run in folder.runs:
        run["stamps"] = {"driver": "31.6" if run["label"] in labels else "31.4"}


def test_a_sound_study_has_no_evidence_to_draw(stocked: Workbench) -> None:
    charts = chart_study(stocked, "quay", now=NOW)
    assert evidence(charts) == []
    assert charts.not_drawn == ()


def test_what_holds_a_run_in_doubt_is_drawn_with_the_study(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    copy = with_copy(wb, folder, tmp_path)
    charts = chart_study(wb, "quay", now=NOW)
    assert evidence(charts) == [f"evidence-{copy}-twin"]
    told = charts.drawn[-1].picture.description
    (fault,) = [f for f in on_record(wb, "copy").faults if f.kind == "twin"]
    assert fault.evidence in told
    assert fault.todo in told


def test_a_study_of_two_logs_is_drawn_where_one_of_them_is_held(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["runs"] = [folder.run("wren causeway 1"), folder.run("plover causeway 1")]
    folder.run("wren causeway 1")["ambient_c"] = 31.0
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    held = find_run(wb, "wren causeway 1").run.id
    drawn = names(chart_study(wb, "quay", now=NOW))
    assert drawn == ["intervals-wren-plover", "rates-fps", "runs-causeway", f"evidence-{held}-room"]


def test_it_is_drawn_still_once_the_run_is_set_aside_and_not_once_it_is_kept(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    copy = with_copy(wb, folder, tmp_path)
    set_aside(wb, copy, reason="duplicate", said=Said(note="filed twice", now=NOW))
    assert on_record(wb, "copy").state is RunState.SET_ASIDE
    assert evidence(chart_study(wb, "quay", now=NOW)) == [f"evidence-{copy}-twin"]
    keep(wb, copy, said=Said(note="two takes after all", now=NOW))
    assert evidence(chart_study(wb, "quay", now=NOW)) == []


def test_a_note_is_drawn_with_its_run_alone(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    copy = with_copy(wb, folder, tmp_path)
    origin = find_run(wb, "wren causeway 2").run.id
    charts = chart_run(wb, "quay", "wren causeway 2")
    assert names(charts) == [f"trace-{origin}", f"evidence-{origin}-twin"]
    assert f"evidence-{origin}-twin" not in names(chart_study(wb, "quay", now=NOW))
    assert names(chart_run(wb, "quay", copy)) == [f"trace-{copy}", f"evidence-{copy}-twin"]


def test_of_runs_held_for_the_same_the_first_is_drawn_and_the_others_are_told(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["setups"][0].pop("stamps")
    held_for_stamps(folder, "wren causeway 1", "wren tramlines 3", "wren render 2")
    for number in (4, 5):
        name = f"logs/more-{number}.csv"
        folder.files[name] = frame_log(frames(100.0, seed=40 + number))
        more = {"test": "causeway", "setup": "wren", "label": f"wren causeway {number}", "log": name}
        folder.runs.append({**more, "stamps": {"driver": "31.6" if number == 4 else "31.4"}})
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    charts = chart_study(wb, "quay", now=NOW)
    ids = {
        label: find_run(wb, label).run.id
        for label in ("wren causeway 1", "wren tramlines 3", "wren render 2")
    }
    assert {f"evidence-{run}-mixed-stamps" for run in ids.values()} <= set(evidence(charts))
    (left,) = [one for one in charts.not_drawn if one.kind == "mixed-stamps"]
    assert (left.label, left.why) == ("wren causeway 4", SAME_IN_CELL)
    assert f"evidence-{left.run}-mixed-stamps" in names(chart_run(wb, "quay", left.run))


def test_a_score_run_is_shown_by_its_evidence_and_one_without_any_has_nothing_to_draw(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["setups"][0].pop("stamps")
    held_for_stamps(folder, "wren render 2")
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    run = find_run(wb, "wren render 2").run.id
    assert names(chart_run(wb, "quay", run)) == [f"evidence-{run}-mixed-stamps"]
    with pytest.raises(NotFound, match="no trace to draw, and nothing was found"):
        chart_run(wb, "quay", "plover render 1")


def test_a_log_that_cannot_be_read_is_told_as_not_drawn(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/wren-causeway-2.csv"] = b"\0"
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    charts = chart_study(wb, "quay", now=NOW)
    assert evidence(charts) == []
    (left,) = charts.not_drawn
    assert (left.label, left.kind, left.why) == ("wren causeway 2", "unreadable-log", NOTHING_TO_SEE)


def test_there_are_never_more_pictures_than_one_looks_through(stocked: Workbench) -> None:
    record = load_study(stocked, "quay")
    fault = Fault(kind="room", title="", severity=Severity.IN_DOUBT, evidence="", todo="")
    kinds = tuple(replace(fault, kind=f"kind-{i}") for i in range(7))
    held = tuple(replace(each, faults=kinds, state=RunState.IN_DOUBT) for each in record.runs)
    items, left = chosen(replace(record, runs=held))
    assert len(items) == MOST < 7 * 6
    assert len(items) + len(left) == 7 * len(held)
    assert {one.why for one in left} == {SAME_IN_CELL, TOO_MANY}
    cells = [(item.each.run.test, item.each.run.setup, item.fault.kind) for item in items]
    assert len(set(cells)) == MOST


def test_runs_that_wait_are_drawn_before_those_set_aside(stocked: Workbench) -> None:
    record = load_study(stocked, "quay")
    fault = Fault(kind="room", title="", severity=Severity.IN_DOUBT, evidence="", todo="")
    states = [RunState.SET_ASIDE, *[RunState.IN_DOUBT] * (len(record.runs) - 1)]
    held = tuple(
        replace(each, faults=(fault,), state=state) for each, state in zip(record.runs, states, strict=True)
    )
    items, _ = chosen(replace(record, runs=held))
    cell = (record.runs[0].run.test, record.runs[0].run.setup)
    first = next(item for item in items if (item.each.run.test, item.each.run.setup) == cell)
    assert first.each.state is RunState.IN_DOUBT


def test_dark_ground_draws_the_same_evidence(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    copy = with_copy(wb, folder, tmp_path)
    light, dark = (chart_run(wb, "quay", copy, dark=dark) for dark in (False, True))
    assert names(light) == names(dark)
    assert light.drawn[-1].picture.svg != dark.drawn[-1].picture.svg


def test_other_setups_of_the_test_stand_in_the_picture_under_their_names(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.files["logs/wren-causeway-2.csv"] = frame_log(frames(88.0, seed=7))
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    charts = chart_run(wb, "quay", "wren causeway 2")
    (level,) = [one for one in charts.drawn if one.name.endswith("odd-level")]
    assert "Plover" in level.picture.svg
