"""One file in two studies as two machines is told wherever the run is looked at, and with the comparison."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from tests.desk.small_folder import NOW, Folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.logs.same_file import same_file_words, same_files
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.run_notes import beside, in_full
from evenhand.records.builds import Build, Setup
from evenhand.records.runs import Run
from evenhand.records.studies import Study
from evenhand.store import runs, shelves
from evenhand.store.workbench import Workbench


def brought_for_another(wb: Workbench) -> tuple[Run, str]:
    """The first log of the quay as a run of another machine in another study; it and the study's key."""
    first = load_study(wb, "quay").runs[0].run
    shelves.save(wb, Build(key="auk", name="Auk", slot=3), now=NOW)
    shelves.save(wb, Setup(key="auk-new", build="auk", name="Auk", state="new"), now=NOW)
    quay = shelves.one(wb, Study, "quay")
    pier = replace(quay, key="pier", title="The pier", setups=("auk-new", "wren"), weights={})
    shelves.save(wb, pier, now=NOW)
    other = replace(first, id="other", study="pier", setup="auk-new", label="Auk first")
    runs.save_run(wb, other, now=NOW)
    return first, "pier"


def test_a_run_says_whose_its_file_is_as_well(stocked: Workbench) -> None:
    first, pier = brought_for_another(stocked)
    said = same_file_words(stocked, load_study(stocked, "quay"), first.id)
    assert "as Auk first (Salt Causeway on Auk, in “The pier”): one of them is wrong." in said
    assert first.label in same_file_words(stocked, load_study(stocked, pier), "other")


def test_while_names_are_hidden_it_says_so_without_them(stocked: Workbench) -> None:
    first, _ = brought_for_another(stocked)
    said = same_file_words(stocked, load_study(stocked, "quay"), first.id, masked=True)
    assert "another run in another study" in said
    assert "Auk" not in said


def test_the_comparison_says_which_run_counts_so(stocked: Workbench) -> None:
    first, _ = brought_for_another(stocked)
    (said,) = same_files(stocked, load_study(stocked, "quay"))
    assert said.startswith(f"{first.label} counts. The very same file is on record as Auk first")


def test_a_run_that_two_studies_share_is_one_run(stocked: Workbench) -> None:
    record = load_study(stocked, "quay")
    pier = replace(record.study, key="pier", title="The pier", weights={})
    shelves.save(stocked, pier, now=NOW)
    runs.share_run(stocked, record.runs[0].run.id, study="pier", now=NOW)
    assert same_file_words(stocked, load_study(stocked, "pier"), record.runs[0].run.id) == ""
    assert list(same_files(stocked, record)) == []


def test_it_is_noted_where_runs_are_listed_and_told_in_full_to_programs(stocked: Workbench) -> None:
    first, _ = brought_for_another(stocked)
    record = load_study(stocked, "quay")
    assert beside(stocked, record)(record.run(first.id)) == "its file is on record as another run too"
    assert beside(stocked, record)(record.runs[1]) == ""
    told = in_full(stocked, record, record.runs)
    assert list(told) == [first.id]
    assert "as Auk first (Salt Causeway on Auk" in told[first.id][0]


def test_an_import_tells_it_of_the_runs_that_it_brought(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    first, _ = brought_for_another(stocked)
    report = import_folder(stocked, folder.write(tmp_path / "again"), now=NOW)
    ((label, words),) = report.elsewhere
    assert label == first.label
    assert "is on record as Auk first" in words
