"""What an import does: new, same, changed; what is refused and what is kept all the same."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.desk.small_folder import (
    LATER,
    NOW,
    Folder,
    changed_tables,
    digest,
    everything,
)

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.deciding import find_run, run_history
from evenhand.errors import BadRecord
from evenhand.records.runs import RunState
from evenhand.store import originals
from evenhand.store.workbench import Workbench

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


def test_another_boot_makes_another_run_of_a_written_score_and_none_of_a_log(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    for label in ("wren causeway 1", "wren render 1"):
        folder.run(label)["boot"] = "another"
    report = import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert (report.new, report.changed) == (1, 1)
    assert [run.label for run in report.not_named] == ["wren render 1"]
    assert [(each.label, each.field) for each in report.changes] == [("wren causeway 1", "boot")]


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
    with pytest.raises(BadRecord, match="1 named file is not there"):
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
    assert {fault.kind for each in record.runs for fault in each.faults} == {"not-judged-yet"}
    assert counts(import_folder(wb, tmp_path / "study", now=LATER)) == (2, 0, 16)
    assert {each.state for each in load_study(wb, "quay").runs} == {RunState.LANDED}
