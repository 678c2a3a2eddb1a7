"""What became of a study: corrected runs, runs its folder names no longer, layouts, decisions."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path
from typing import Any

from tests.desk.small_folder import LATER, NOW, Folder, small_folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs import deciding
from evenhand.desk.runs.said import Said
from evenhand.desk.study.histories import study_history
from evenhand.store.workbench import Workbench


def told(wb: Workbench, record: str) -> list[tuple[str, str, Any, Any]]:
    """The changes of one kind of record."""
    changes = study_history(wb, "quay").changes
    return [(each.key, each.field, each.before, each.after) for each in changes if each.record == record]


def id_of(wb: Workbench, label: str) -> str:
    return next(each.run.id for each in load_study(wb, "quay").runs if each.run.label == label)


def test_of_a_study_as_it_came_in_there_is_nothing_to_tell(stocked: Workbench, tmp_path: Path) -> None:
    import_folder(stocked, tmp_path / "study", now=LATER)
    found = study_history(stocked, "quay")
    assert (found.changes, found.decisions) == ((), ())


def test_a_score_corrected_under_a_new_label_is_told(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    run = id_of(stocked, "wren render 1")
    was = folder.run("wren render 1")["score"]
    folder.run("wren render 1").update(score=13.5, label="wren render 1, read again")
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert told(stocked, "run") == [
        (run, "label", "wren render 1", "wren render 1, read again"),
        (run, "score", was, 13.5),
    ]


def test_a_score_corrected_under_a_new_label_and_boot_is_another_run_and_the_earlier_one_is_told(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    earlier = id_of(stocked, "wren render 1")
    folder.run("wren render 1").update(score=13.5, label="wren render 1, read again", boot="wren-9")
    report = import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert [run.id for run in report.not_named] == [earlier]
    assert told(stocked, "run") == [(earlier, "named", True, False)]
    assert [e.run.id for e in load_study(stocked, "quay").runs if not e.named] == [earlier]


def test_a_run_that_comes_back_into_its_folder_is_named_again(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    for at, each in enumerate((folder.without("wren render 1"), folder)):
        import_folder(stocked, each.write(tmp_path / "study"), now=LATER + timedelta(hours=at))
    assert [change[1:] for change in told(stocked, "run")] == [
        ("named", True, False),
        ("named", False, True),
    ]
    assert all(each.named for each in load_study(stocked, "quay").runs)


def test_runs_that_leave_one_folder_are_named_by_another_study_all_the_same(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    import_folder(stocked, small_folder("mole").write(tmp_path / "mole"), now=NOW)
    import_folder(stocked, folder.without("wren causeway 1").write(tmp_path / "study"), now=LATER)
    assert sum(not each.named for each in load_study(stocked, "quay").runs) == 1
    assert all(each.named for each in load_study(stocked, "mole").runs)
    assert study_history(stocked, "mole").changes == ()


def test_a_file_that_cannot_be_had_lets_no_run_seem_gone(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    study = folder.write(tmp_path / "study")
    with (study / "logs/wren-causeway-1.csv").open("r+b") as file:
        file.truncate(2**31)  # a sparse file past the size limit
    import_folder(stocked, study, now=LATER)
    assert all(each.named for each in load_study(stocked, "quay").runs)


def test_a_corrected_layout_is_told_once_with_its_columns(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    columns = {"frame_time": {"column": "frame [ms]", "unit": "us"}, "elapsed_time": {"column": "t [s]"}}
    folder.document["layouts"] = [{"name": "bench log", "kind": "frames", "columns": columns}]
    import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert told(stocked, "run") == []
    (change,) = told(stocked, "layout")
    assert change == (
        "bench log",
        "columns",
        ["frame time 'frame [ms]' in ms", "elapsed time 't [s]'"],
        ["frame time 'frame [ms]' in us", "elapsed time 't [s]'"],
    )


def test_every_decision_about_its_runs_is_told_in_the_order_made(stocked: Workbench) -> None:
    for at, label in enumerate(("wren render 2", "plover causeway 1")):
        deciding.keep(
            stocked, label, said=Said(note=f"no. {at}", now=NOW + timedelta(hours=at), masked=bool(at))
        )
    found = study_history(stocked, "quay").decisions
    assert [(each.run, each.note, each.masked) for each in found] == [
        (id_of(stocked, "wren render 2"), "no. 0", False),
        (id_of(stocked, "plover causeway 1"), "no. 1", True),
    ]
