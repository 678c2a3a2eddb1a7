"""The cells that findings compare count waiting and set-aside runs as the list of runs does."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, Folder

from evenhand.desk.comparison.cells import cells_of
from evenhand.desk.comparison.comparing import compare
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study, read_study
from evenhand.desk.runs import deciding
from evenhand.desk.runs.said import Said
from evenhand.findings.finding import Cell
from evenhand.records.runs import RunState
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


def test_runs_without_a_number_wait_in_compare_as_they_do_in_runs(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    """Three unreadable logs, one of them set aside; and a test whose headline its runs are too short for."""
    for number in (1, 2, 3):
        folder.files[f"logs/plover-tramlines-{number}.csv"] = b""
    folder.document["tests"][0] |= {"metric": "low_1pct", "also": []}
    for name in [each for each in folder.files if "causeway" in each]:
        folder.files[name] = b"\n".join(folder.files[name].split(b"\n")[:60])
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    deciding.set_aside(wb, "plover tramlines 2", reason="interrupted", said=Said(note="", now=NOW))
    record = load_study(wb, "quay")
    for cell in cells_of(record):
        states = [each.state for each in record.cell(cell.test, cell.setup)]
        assert cell.waiting == states.count(RunState.IN_DOUBT), cell
        assert cell.set_aside == states.count(RunState.SET_ASIDE), cell
        assert len(cell.observations) + cell.waiting + cell.set_aside == 3, cell
    findings = compare(wb, "quay", now=NOW).comparison.findings
    (tramlines,) = (f for f in findings if (f.test, f.metric) == ("tramlines", "average_fps"))
    assert any("no run counts" in c.words and "2 wait for a decision" in c.words for c in tramlines.caveats)


def cells_by_place(wb: Workbench) -> dict[tuple[str, str, str], Cell]:
    return {(c.test, c.setup, c.metric): c for c in cells_of(load_study(wb, "quay"))}


def alone(wb: Workbench) -> dict[tuple[str, str, str], Cell]:
    """The cells as they are laid out by whoever has read nothing before."""
    return {(c.test, c.setup, c.metric): c for c in cells_of(read_study(wb, "quay"))}


def test_after_a_decision_only_the_cells_of_its_run_are_laid_out_anew(stocked: Workbench) -> None:
    before = cells_by_place(stocked)
    deciding.set_aside(stocked, "plover tramlines 2", reason="interrupted", said=Said(note="", now=NOW))
    now = cells_by_place(stocked)
    assert now == alone(stocked)
    for place, cell in now.items():
        assert (cell is before[place]) == (place[:2] != ("tramlines", "plover")), place


@pytest.mark.parametrize("record", ["test", "setup"])
def test_cells_follow_what_is_written_of_their_test_and_setup(stocked: Workbench, record: str) -> None:
    """Their runs are as they were: what the cells say is not."""
    before, study = cells_by_place(stocked), load_study(stocked, "quay")
    with stocked.writing():
        if record == "test":
            shelves.save(stocked, replace(study.tests["tramlines"], group="Trams"), now=NOW)
        else:
            shelves.save(stocked, replace(study.setups["plover"], stamps={"driver": "99.9"}), now=NOW)
    now = cells_by_place(stocked)
    assert now == alone(stocked)
    assert now != before
