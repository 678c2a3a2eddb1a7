"""What is noticed over a whole study stands beside its comparison."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from tests.desk.small_folder import NOW, Folder

from evenhand.desk.comparison.comparing import compare, compared_answer
from evenhand.desk.comparison.study_notes import study_notes, timed_cells
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.names import names_of
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.compare_behind import about_runs
from evenhand.desk.publication.article_evidence import method_of
from evenhand.store.workbench import Workbench


def scored(folder: Folder, *, cold: float) -> Folder:
    """Eight tests of minutes in one boot a setup, the first run of each longer by `cold`."""
    rng = np.random.default_rng(4)
    render = next(test for test in folder.document["tests"] if test["key"] == "render")
    names = [f"render-{number}" for number in range(8)]
    folder.document["tests"] = [{**render, "key": name, "name": f"Night {name}"} for name in names]
    folder.document["runs"] = [
        {"test": name, "setup": setup, "label": f"{setup} {name} {run}", "boot": setup, "order": run,
         "score": float(10 * np.exp(0.008 * rng.standard_normal() + cold * (run == 0)))}
        for name in names for setup in ("wren", "plover") for run in range(5)
    ]  # fmt: skip
    return folder


@pytest.fixture
def cold(wb: Workbench, folder: Folder, tmp_path: Path) -> Workbench:
    import_folder(wb, scored(folder, cold=0.03).write(tmp_path / "study"), now=NOW)
    return wb


def test_cold_first_runs_are_told_beside_the_comparison(cold: Workbench) -> None:
    found = compare(cold, "quay", now=NOW)
    (note,) = found.notes
    assert note.kind == "warm-up"
    assert "slower" in note.title
    (told,) = compared_answer(found)["study_notes"]
    assert told["evidence"] == note.evidence
    assert {cell["setup"] for cell in told["cells"]} == {"wren", "plover"}


def test_a_study_of_warm_runs_has_no_note(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    import_folder(wb, scored(folder, cold=0.0).write(tmp_path / "study"), now=NOW)
    assert study_notes(load_study(wb, "quay")) == ()


def test_only_runs_that_count_are_asked(stocked: Workbench) -> None:
    cells = {(cell.test, cell.setup): cell.runs for cell in timed_cells(load_study(stocked, "quay"))}
    assert len(cells) == 6
    assert [run.boot for run in cells["causeway", "wren"]] == ["wren-1", "wren-2", "wren-3"]


def rehearsed(folder: Folder, *, every: bool) -> Folder:
    """Warm runs, each from a boot of its own; `every` one without a restart, or the first alone."""
    scored(folder, cold=0.0)
    for at, run in enumerate(folder.document["runs"]):
        run["boot"] = f"{run['setup']} {at}"
        run["stamps"] = {"restarts": "rehearsed: the machine was not restarted"} if every or not at else {}
    return folder


@pytest.mark.parametrize(
    ("every", "counted", "about"),
    [
        (True, "80 runs of the 80 that count", "boots as on record, for which no machine was restarted."),
        (False, "one run of the 80 that count", "boots as on record, some without a restart."),
    ],
)
def test_restarts_that_were_only_rehearsed_are_told_wherever_boots_are(
    wb: Workbench, folder: Folder, tmp_path: Path, *, every: bool, counted: str, about: str
) -> None:
    import_folder(wb, rehearsed(folder, every=every).write(tmp_path / "study"), now=NOW)
    record = load_study(wb, "quay")
    (note,) = study_notes(record)
    assert note.kind == "restarts-rehearsed"
    assert counted in note.evidence
    test = record.compared_tests[0]
    runs = [each for each in record.runs if each.run.test == test.key]
    assert about_runs(runs, test).endswith(about)
    ending = about.partition("record")[2]
    assert f"over 80 boots{ending}" in " ".join(method_of(record, names_of(record)))


def test_boots_from_true_restarts_are_told_as_such(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    made = rehearsed(folder, every=False)
    made.document["runs"][0]["stamps"] = {}
    import_folder(wb, made.write(tmp_path / "study"), now=NOW)
    record = load_study(wb, "quay")
    assert study_notes(record) == ()
    test = record.compared_tests[0]
    runs = [each for each in record.runs if each.run.test == test.key]
    assert about_runs(runs, test).endswith("every run from a fresh boot.")
