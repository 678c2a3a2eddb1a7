"""A study is started and changed without a terminal, by the rules of the study file; all can be undone."""

from __future__ import annotations

import tomllib
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from evenhand.desk.logs.exporting import export_study
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.study.briefing import (
    add_test,
    change_study,
    change_test,
    drop_test,
    move_test,
    start_study,
    take_test,
)
from evenhand.desk.study.shelving import version_of
from evenhand.desk.study.terms import changed_terms
from evenhand.desk.study.undoing import undo, undo_change
from evenhand.errors import BadRecord, NotFound, Overtaken
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import shelves
from evenhand.store.history import history_of

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
FRAMES: dict[str, Any] = {"name": "Salt Causeway", "measures": "frames", "metric": "average_fps"}
SCORE: dict[str, Any] = {"name": "Export", "measures": "score", "unit": "jobs/h", "direction": "higher"}


@pytest.fixture
def desks(wb: Desk) -> str:
    """A study that was started with a question and nothing else."""
    return start_study(wb, {"title": "Two desks", "question": "Which one?"}, now=NOW).key


def test_a_study_begins_with_its_question(wb: Desk) -> None:
    kept = start_study(wb, {"question": "Which desk?", "margin": 0.025}, now=NOW)
    study = shelves.one(wb, Study, kept.key)
    assert (study.key, study.title, study.margin, study.tests) == ("which-desk", "Which desk?", 0.025, ())


def test_two_studies_of_one_name_have_two_keys(wb: Desk) -> None:
    keys = [start_study(wb, {"title": "New"}, now=NOW).key for _ in range(2)]
    assert keys == ["new-2", "new-3"]


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"title": " "}, "title"),
        ({"margin": 0.0}, "margin"),
        ({"margin": 0.7}, "margin"),
        ({"boot_allowance": -0.1}, "boot_allowance"),
        ({"ambient_c": [27.0, 21.0]}, "ambient_c"),
        ({"ambient_c": [21.0]}, "ambient_c"),
        ({"weights": {"nothing": 1.0}}, "weights"),
        ({"tests": ["nothing"]}, "tests"),
        ({"margn": 0.02}, "margn"),
    ],
)
def test_what_is_wrong_is_told_at_its_field(wb: Desk, desks: str, given: dict[str, Any], field: str) -> None:
    with pytest.raises(BadRecord) as refused:
        change_study(wb, desks, given, now=NOW)
    assert refused.value.where == field
    assert shelves.one(wb, Study, desks).margin == 0.03


def test_a_change_is_undone_and_both_stay_in_history(wb: Desk, desks: str) -> None:
    changed = change_study(wb, desks, {"margin": 0.02}, now=NOW)
    undo(wb, "studies", desks, now=NOW)
    assert shelves.one(wb, Study, desks).margin == 0.03
    margins = [each.after["margin"] for each in history_of(wb, "studies", desks)]
    assert margins == [0.03, 0.02, 0.03]
    with pytest.raises(Overtaken, match="changed again since"):
        undo_change(wb, changed.change, now=NOW)


def test_what_was_new_stays_on_record(wb: Desk, desks: str) -> None:
    with pytest.raises(BadRecord, match="stays on record"):
        undo(wb, "studies", desks, now=NOW)


def test_a_change_that_its_writer_did_not_see_is_not_overwritten(wb: Desk, desks: str) -> None:
    seen = version_of(wb, shelves.one(wb, Study, desks))
    change_study(wb, desks, {"margin": 0.02}, now=NOW, seen=seen)
    with pytest.raises(Overtaken, match="in another window"):
        change_study(wb, desks, {"margin": 0.05}, now=NOW, seen=seen)
    assert shelves.one(wb, Study, desks).margin == 0.02


def test_saving_the_same_again_is_no_change(wb: Desk, desks: str) -> None:
    assert change_study(wb, desks, {"margin": 0.03}, now=NOW).change == 0


def test_tests_are_added_taken_and_dropped(wb: Desk, desks: str) -> None:
    for given in (FRAMES, SCORE):
        add_test(wb, desks, given, now=NOW)
    change_study(wb, desks, {"weights": {"export": 2.0}}, now=NOW)
    drop_test(wb, desks, "export", now=NOW)
    with pytest.raises(NotFound, match="not a test of this study"):
        drop_test(wb, desks, "export", now=NOW)
    assert shelves.one(wb, Study, desks).tests == ("salt-causeway",)
    assert shelves.one(wb, Study, desks).weights == {}
    take_test(wb, desks, "export", now=NOW)
    assert shelves.one(wb, Study, desks).tests == ("salt-causeway", "export")
    undo(wb, "studies", desks, now=NOW)
    assert shelves.one(wb, Study, desks).tests == ("salt-causeway",)
    assert shelves.one(wb, Test, "export").unit == "jobs/h"


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({**FRAMES, "name": ""}, "name"),
        ({**FRAMES, "metric": None}, "metric"),
        ({**FRAMES, "metric": "minimum_fps"}, "metric"),
        ({**FRAMES, "also": ["average_fps"]}, "also"),
        ({**FRAMES, "minutes": 0.0}, "minutes"),
        ({**FRAMES, "locked_fps": -60.0}, "locked_fps"),
        ({**FRAMES, "settings": {" ": "high"}}, "settings"),
        ({**SCORE, "unit": None}, "unit"),
        ({**SCORE, "direction": None}, "direction"),
        ({**SCORE, "direction": "sideways"}, "direction"),
        ({**SCORE, "measures": "colour"}, "measures"),
    ],
)
def test_a_test_that_cannot_be_used_is_told_at_its_field(
    wb: Desk, desks: str, given: dict[str, Any], field: str
) -> None:
    with pytest.raises(BadRecord) as refused:
        add_test(wb, desks, given, now=NOW)
    assert refused.value.where == field
    assert shelves.every(wb, Test) == ()


def test_a_term_that_is_changed_after_data_is_told(stocked: Desk) -> None:
    change_study(stocked, "quay", {"margin": 0.05}, now=NOW + timedelta(days=1))
    [told] = changed_terms(stocked, load_study(stocked, "quay"))
    assert told.change.field == "margin"
    assert "was changed from 3\u00a0% to 5\u00a0% on 2031-05-05" in told.words


def test_runs_are_judged_again_where_a_term_of_theirs_changes(stocked: Desk) -> None:
    before = {each.run.id: each.faults for each in load_study(stocked, "quay").runs}
    change_study(stocked, "quay", {"ambient_c": [-10.0, -5.0]}, now=NOW)
    after = {each.run.id: each.faults for each in load_study(stocked, "quay").runs}
    assert after != before


def test_what_runs_left_behind_stays_what_it_is(stocked: Desk) -> None:
    record = load_study(stocked, "quay")
    test = next(test for test in record.tests.values() if test.measures == "frames")
    with pytest.raises(BadRecord, match="runs on record measure frames") as refused:
        change_test(stocked, test.key, {**SCORE, "metric": None, "also": None}, now=NOW)
    assert refused.value.where == "measures"


def test_what_a_form_does_not_speak_of_stays(wb: Desk, desks: str) -> None:
    key = add_test(wb, desks, {**FRAMES, "scene": "to the toll gate", "minutes": 4.0}, now=NOW).key
    change_test(wb, key, {"minutes": None}, now=NOW)
    test = shelves.one(wb, Test, key)
    assert (test.scene, test.minutes) == ("to the toll gate", None)


def test_tests_are_put_in_order_by_hand(stocked: Desk, tmp_path: Path) -> None:
    (study,) = shelves.every(stocked, Study)
    first, second, *rest = study.tests
    moved = move_test(stocked, study.key, first, by=1, now=NOW)
    assert shelves.one(stocked, Study, study.key).tests == (second, first, *rest)
    assert not changed_terms(stocked, load_study(stocked, study.key)), "no finding depends on the order"
    export_study(stocked, study.key, tmp_path / "out")
    written = tomllib.loads((tmp_path / "out" / "study.toml").read_text())
    assert [test["key"] for test in written["tests"]][:2] == [second, first]
    undo_change(stocked, moved.change, now=NOW)
    assert shelves.one(stocked, Study, study.key).tests == study.tests


def test_at_an_end_a_test_stays(stocked: Desk) -> None:
    (study,) = shelves.every(stocked, Study)
    assert not move_test(stocked, study.key, study.tests[0], by=-1, now=NOW).change
    assert not move_test(stocked, study.key, study.tests[-1], by=1, now=NOW).change
    with pytest.raises(NotFound):
        move_test(stocked, study.key, "elsewhere", by=1, now=NOW)
