"""Which fields of the records are terms, fixed before data, and what is said where one was changed."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path
from typing import Any

import pytest
from tests.desk.changed_studies import changed, rewritten
from tests.desk.small_folder import LATER, NOW, Folder

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.study.histories import study_history
from evenhand.desk.study.term_fields import DESCRIPTIVE, TERMS
from evenhand.desk.study.terms_drawn import on_pictures
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store.workbench import Workbench

RECORDS = [("study", Study), ("test", Test), ("setup", Setup), ("build", Build), ("part", Part)]


@pytest.mark.parametrize(("noun", "record"), RECORDS)
def test_every_field_of_a_record_is_either_a_term_or_descriptive(noun: str, record: type) -> None:
    """A new field fails here until somebody says which of the two it is."""
    known = [*TERMS[noun], *DESCRIPTIVE[noun]]
    assert sorted(known) == sorted(field.name for field in fields(record))


TEST, SETUP, BUILD, PART = "tests", "setups", "builds", "parts"


@pytest.mark.parametrize(
    ("table", "at", "values", "words"),
    [
        (TEST, 2, {"unit": "s"}, "The unit in Night render was changed from min to s"),
        (
            TEST, 2, {"direction": "higher"},
            "The better direction in Night render was changed from lower to higher",
        ),
        (TEST, 0, {"group": "work"}, "The group in Salt Causeway was changed from games to work"),
        (TEST, 0, {"version": "1.8"}, "The version in Salt Causeway was changed from none to 1.8"),
        (
            TEST, 0, {"settings": {"quality": "high"}},
            "The settings in Salt Causeway were changed from none to quality high",
        ),
        (
            TEST, 0, {"locked_fps": 60.0},
            "The rate held on purpose in Salt Causeway was changed from none to 60\xa0fps",
        ),
        (TEST, 0, {"free_length": True}, "The free length in Salt Causeway was changed from no to yes"),
        (SETUP, 1, {"build": "wren"}, "The build of Wren, stock (plover) was changed from plover to wren"),
        (SETUP, 1, {"state": "mild tune"}, "The state of Plover was changed from stock to mild tune"),
        (
            SETUP, 0, {"stamps": {"os": "Tern 10"}},
            "The stamps of Wren were changed from os Tern 9 to os Tern 10",
        ),
        (
            TEST, 0, {"also": []},
            "The further numbers compared in Salt Causeway were changed from low_1pct to none",
        ),
        (BUILD, 0, {"parts": []}, "The parts of Wren were changed from Brellow K6 to none"),
        (BUILD, 1, {"parts": ["k6"]}, "The parts of Plover were changed from none to Brellow K6"),
        (PART, 0, {"kind": "board"}, "The kind of a part, Brellow K6, was changed from processor to board"),
        (
            PART, 0, {"name": "Brellow K7"},
            "The name of a part, k6, was changed from Brellow K6 to Brellow K7",
        ),
    ],
)  # fmt: skip
def test_what_findings_or_triage_read_is_told_where_it_changes(
    stocked: Workbench,
    folder: Folder,
    tmp_path: Path,
    table: str,
    at: int,
    values: dict[str, Any],
    words: str,
) -> None:
    (term,) = changed(stocked, folder, tmp_path, (folder.document[table][at], values))
    assert term.words == f"{words} on 2031-05-05, after 18 runs were on record."


def test_names_and_descriptions_may_be_corrected(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    told = changed(
        stocked,
        folder,
        tmp_path,
        (folder.document["study"], {"title": "T", "question": "Q", "audience": "A", "budget": "B"}),
        (folder.document["tests"][2], {"name": "N", "stresses": ["disk"], "scene": "S", "minutes": 9.0}),
        (folder.document["setups"][0], {"name": "Wren, as it came"}),
        (folder.document["builds"][1], {"name": "Plover, white", "slot": 4, "note": "lent"}),
        (folder.document["parts"][0], {"note": "boxed"}),
    )
    assert told == ()


# --- names that change hands


def test_two_setups_that_swap_their_names_are_told_by_their_keys(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    wren, plover = folder.document["builds"]
    terms = changed(stocked, folder, tmp_path, (wren, {"name": "Plover"}), (plover, {"name": "Wren"}))
    (first,) = [term for term in terms if (term.change.record, term.change.key) == ("build", "wren")]
    assert first.words == (
        "The name of the build 'wren' was changed from Wren to Plover on 2031-05-05, after 18 runs were on "
        "record: Plover was the name of the build 'plover' before."
    )
    assert {term.change.key for term in terms if term.change.record == "build"} == {"wren", "plover"}
    assert on_pictures(terms).terms == ("Names changed after 18 runs.",)


def test_two_tests_that_swap_their_names_are_told(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    one, two = folder.document["tests"][:2]
    terms = changed(stocked, folder, tmp_path, (one, {"name": two["name"]}), (two, {"name": one["name"]}))
    assert [(term.change.key, term.test) for term in terms] == [
        (key, key) for key in ("causeway", "tramlines")
    ]
    assert not on_pictures(terms, test="render")


def test_a_name_that_goes_to_another_in_two_steps_is_told_once_it_is_there(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    one, two = folder.document["tests"][:2]
    was = one["name"]
    assert changed(stocked, folder, tmp_path, (one, {"name": "Old road"})) == ()
    words = [term.words for term in changed(stocked, folder, tmp_path, (two, {"name": was}))]
    assert [said.partition(": ")[2] for said in words] == [
        "Salt Causeway is the name of the test 'tramlines' now.",
        "Salt Causeway was the name of the test 'causeway' before.",
    ]


def test_builds_and_parts_are_told_by_the_import_and_in_the_history(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["builds"][0] |= {"name": "Heron", "parts": ["k7"]}
    folder.document["parts"].append({"key": "k7", "kind": "processor", "name": "Brellow K7"})
    folder.document["setups"][0]["name"] = "Wren, stock"
    report = import_folder(stocked, folder.write(tmp_path / "study"), now=LATER)
    told = {(each.record, each.key, each.field) for each in report.changes}
    assert {("build", "wren", "name"), ("build", "wren", "parts")} <= told
    assert study_history(stocked, "quay").changes == report.changes
    folder.document["parts"][1]["name"] = "Brellow K7 S"
    (change,) = import_folder(stocked, folder.write(tmp_path / "study"), now=LATER).changes
    assert (change.record, change.key, change.before) == ("part", "k7", "Brellow K7")
    assert study_history(stocked, "quay").changes[-1] == change


def test_the_same_parts_in_another_order_are_no_changed_term(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    wren, parts = folder.document["builds"][0], folder.document["parts"]
    parts += [{"key": key, "kind": "memory", "name": "Aldin 16"} for key in ("one", "two")]
    wren["parts"] = ["k6", "one", "two"]
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    assert changed(wb, folder, tmp_path, (wren, {"parts": ["two", "k6", "one"]})) == ()
    (term,) = changed(wb, folder, tmp_path, (wren, {"parts": ["two", "k6"]}))
    assert "from Aldin 16 (two), Brellow K6, Aldin 16 (one) to Aldin 16 (two), Brellow K6 on" in term.words


def test_terms_of_what_is_not_compared_are_not_told(wb: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.document["study"] |= {"setups": ["wren", "plover"], "tests": ["causeway"]}
    folder.document["builds"].append({"key": "dunlin", "name": "Dunlin", "slot": 3})
    folder.document["setups"].append({"key": "dunlin", "build": "dunlin"})
    folder.runs.append({"test": "render", "setup": "dunlin", "label": "other", "score": 11.0})
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    beside = [
        (folder.document["setups"][2], {"state": "tuned"}),
        (folder.document["tests"][2], {"group": "g"}),
    ]
    assert changed(wb, folder, tmp_path, *beside) == ()


# --- scores


def test_a_score_rewritten_once_it_was_in_is_told(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    (term,) = rewritten(stocked, folder, tmp_path, {"wren render 2": 9.25})
    assert (term.change.record, term.change.field, term.runs, term.test) == ("run", "score", 18, "render")
    assert term.words == (
        "The score of wren render 2 was changed from 12.0012\xa0min to 9.25\xa0min on 2031-05-05, "
        "with 18 runs on record."
    )


def test_a_score_put_back_is_told_twice(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    was = folder.run("wren render 2")["score"]
    rewritten(stocked, folder, tmp_path, {"wren render 2": 9.25})
    terms = rewritten(stocked, folder, tmp_path, {"wren render 2": was})
    assert [(term.change.before, term.change.after) for term in terms] == [(was, 9.25), (9.25, was)]


def test_an_import_tells_the_scores_it_rewrote(stocked: Workbench, folder: Folder, tmp_path: Path) -> None:
    folder.run("wren render 1")["score"] = 9.0
    (change,) = import_folder(stocked, folder.write(tmp_path / "study"), now=LATER).changes
    assert (change.record, change.label, change.field, change.after) == ("run", "wren render 1", "score", 9.0)
    assert import_folder(stocked, tmp_path / "study", now=LATER).changes == ()


@pytest.mark.parametrize(("first", "told"), [(b"11.9", [(11.9, 9.2)]), (b"-", [])])
def test_a_value_edited_in_a_score_table_is_told_and_one_filled_in_is_not(
    wb: Workbench, folder: Folder, tmp_path: Path, first: bytes, told: list[tuple[float, float]]
) -> None:
    table = b"task,take,result\nrender,1,%b\nrender,2,12.0\n"
    columns = {"test": {"column": "task"}, "run": {"column": "take"}, "score": {"column": "result"}}
    folder.document["layouts"].append({"name": "scores", "kind": "scores", "columns": columns})
    for take in (1, 2):
        run = folder.run(f"wren render {take}")
        del run["score"]
        run |= {"scores": "scores.csv", "row": {"test": "render", "run": str(take)}}
    folder.files["scores.csv"] = table % first
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    folder.files["scores.csv"] = table % b"9.2"
    terms = changed(wb, folder, tmp_path)
    assert [(term.change.before, term.change.after) for term in terms] == told


def test_scores_of_a_test_that_is_not_compared_are_not_told(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    folder.document["study"]["tests"] = ["causeway", "tramlines"]
    terms = rewritten(stocked, folder, tmp_path, {"wren render 2": 9.25})
    assert [term.change.field for term in terms] == ["tests"]
