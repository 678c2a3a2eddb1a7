"""Which changes an import tells of: every field that was otherwise on record."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

from tests.desk.small_folder import LATER, NOW, Folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.study.field_changes import FACTS
from evenhand.desk.study.histories import MARKS
from evenhand.desk.study.term_fields import TERMS
from evenhand.records.runs import Run
from evenhand.store.workbench import Workbench

KNOWN_BY = ("id", "study", "test", "setup", "log", "score_row")  # another of these is another run


def test_every_field_of_a_run_is_a_fact_a_term_or_what_it_is_known_by() -> None:
    """A new field fails here until somebody says which of them it is."""
    told = (*FACTS, *TERMS["run"], *MARKS, *KNOWN_BY)
    assert sorted(told) == sorted(field.name for field in fields(Run))


def test_an_import_tells_each_fact_of_a_run_that_was_corrected(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.run("wren causeway 1").update(boot="w9", ambient_c=25.5, stamps={"driver": "32"})
    folder.run("plover causeway 2")["wall_w"] = 301.0
    report = import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    assert {(each.label, each.field) for each in report.changes} == {
        ("wren causeway 1", "boot"),
        ("wren causeway 1", "ambient_c"),
        ("wren causeway 1", "stamps"),
        ("plover causeway 2", "wall_w"),
    }
    assert import_folder(stocked, tmp_path / "study", now=LATER).changes == ()


def test_a_study_that_is_new_tells_of_no_change(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    assert import_folder(wb, folder.write(tmp_path / "study"), now=NOW).changes == ()
