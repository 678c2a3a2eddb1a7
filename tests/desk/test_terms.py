"""Which fields of the records are terms, fixed before data, and what is said where one was changed."""

from __future__ import annotations

from dataclasses import fields
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from tests.desk.small_folder import LATER, NOW, Folder

from evenhand.desk.comparing import compare
from evenhand.desk.importing import import_folder
from evenhand.desk.terms import DESCRIPTIVE, TERMS, on_pictures
from evenhand.records.builds import Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store.workbench import Workbench


@pytest.mark.parametrize(("noun", "record"), [("study", Study), ("test", Test), ("setup", Setup)])
def test_every_field_of_a_record_is_either_a_term_or_descriptive(noun: str, record: type) -> None:
    """A new field fails here until somebody says which of the two it is."""
    known = [*TERMS[noun], *DESCRIPTIVE[noun]]
    assert sorted(known) == sorted(field.name for field in fields(record))


def changed(
    wb: Workbench, folder: Folder, tmp_path: Path, *changes: tuple[dict[str, Any], dict[str, Any]]
) -> Any:
    """The terms that compare tells of once these tables of the study file were given these values."""
    for table, values in changes:
        table.update(values)
    import_folder(wb, folder.write(tmp_path / "study"), now=LATER)
    return compare(wb, "quay", now=LATER).changed_terms


TEST, SETUP = "tests", "setups"


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
        (SETUP, 1, {"build": "wren"}, "The build of Wren, stock was changed from plover to wren"),
        (SETUP, 1, {"state": "mild tune"}, "The state of Plover was changed from stock to mild tune"),
        (
            SETUP, 0, {"stamps": {"os": "Tern 10"}},
            "The stamps of Wren were changed from os Tern 9 to os Tern 10",
        ),
        (
            TEST, 0, {"also": []},
            "The further numbers compared in Salt Causeway were changed from low_1pct to none",
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
    )
    assert told == ()


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


# --- on pictures


def test_a_picture_says_changed_terms_in_a_few_words(
    stocked: Workbench, folder: Folder, tmp_path: Path
) -> None:
    terms = changed(
        stocked,
        folder,
        tmp_path,
        (folder.document["study"], {"margin": 0.08, "weights": {"render": 2.0}}),
        (folder.document["tests"][0], {"settings": {"quality": "high"}}),
    )
    assert on_pictures(terms) == ("Margin, weights and settings changed after 18 runs.",)
    assert on_pictures(terms, test="causeway") == on_pictures(terms)
    assert on_pictures(terms, test="render") == ("Margin and weights changed after 18 runs.",)
    assert on_pictures(()) == ()


def test_a_term_that_was_moved_twice_is_said_once_with_the_runs_of_the_last(
    wb: Workbench, folder: Folder, tmp_path: Path
) -> None:
    import_folder(wb, folder.without("wren render 3").write(tmp_path / "study"), now=NOW)
    for margin, hours in ((0.05, 1), (0.09, 2)):
        folder.document["study"]["margin"] = margin
        import_folder(wb, folder.write(tmp_path / "study"), now=NOW + timedelta(hours=hours))
    terms = compare(wb, "quay", now=LATER).changed_terms
    assert [term.runs for term in terms] == [17, 18]
    assert on_pictures(terms) == ("Margin changed after 18 runs.",)
