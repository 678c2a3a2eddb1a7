"""What an import does where studies share records and runs."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import (
    LATER,
    NOW,
    Folder,
    changed_tables,
    everything,
    small_folder,
)

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.deciding import find_run
from evenhand.errors import BadRecord
from evenhand.records.builds import Part
from evenhand.records.runs import RunState
from evenhand.store import shelves
from evenhand.store.workbench import Workbench, open_workbench

RUNS = 18


def counts(report) -> tuple[int, int, int]:
    return report.new, report.changed, report.same


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


def test_a_study_that_another_process_brings_in_meanwhile_is_there_with_its_parts(
    wb: Workbench, place: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    mole, every = small_folder("mole").write(tmp_path / "mole"), shelves.every

    def meanwhile(here: Workbench, kind: Any) -> Any:
        found = every(here, kind)
        if kind is Part:
            monkeypatch.undo()
            with open_workbench(place) as other:
                import_folder(other, mole, now=NOW)
        return found

    monkeypatch.setattr(shelves, "every", meanwhile)
    import_folder(wb, small_folder().write(tmp_path / "study"), now=NOW)
    assert [len(load_study(wb, key).runs) for key in ("quay", "mole")] == [18, 18]
