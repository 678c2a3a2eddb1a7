"""What studies teach about tests is kept in one place each, and forgetting is a choice on record."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.store.small_study import NOW, STUDY

from evenhand.errors import StoreProblem
from evenhand.store.judged import judged_on, note_judged
from evenhand.store.lessons import Kept, all_lessons, choose, lessons_about, save_lesson
from evenhand.store.rows import Saved
from evenhand.store.shelves import save
from evenhand.store.workbench import Workbench

LESSON = Kept(
    study="saltmarsh",
    test="causeway",
    runs=5,
    figures={"spread": (0.0004, 4.0), "hitches": (3.0, 2.5)},
    counts=True,
    at=NOW,
)


def test_a_lesson_comes_back_as_it_was(wb: Workbench) -> None:
    assert save_lesson(wb, LESSON, code_version="1") is Saved.NEW
    assert lessons_about(wb, "causeway") == (LESSON,)
    assert lessons_about(wb, "render") == ()


def test_a_study_teaches_one_lesson_about_a_test(wb: Workbench) -> None:
    save_lesson(wb, LESSON, code_version="1")
    assert save_lesson(wb, LESSON, code_version="1") is Saved.SAME
    more = replace(LESSON, runs=6)
    assert save_lesson(wb, more, code_version="1") is Saved.CHANGED
    assert all_lessons(wb) == (more,)


def test_what_is_forgotten_stays_forgotten_when_it_is_taught_again(wb: Workbench) -> None:
    save_lesson(wb, LESSON, code_version="1")
    choose(wb, "causeway", "saltmarsh", counts=False, now=NOW)
    save_lesson(wb, replace(LESSON, runs=9), code_version="1")
    (kept,) = all_lessons(wb)
    assert (kept.runs, kept.counts) == (9, False)


def test_the_last_choice_holds_and_every_one_stays_on_record(wb: Workbench) -> None:
    save_lesson(wb, LESSON, code_version="1")
    for counts in (False, True, False, True):
        choose(wb, "causeway", "saltmarsh", counts=counts, now=NOW)
    assert all_lessons(wb)[0].counts is True
    with wb.reading() as conn:
        assert conn.execute("SELECT count(*) FROM forgotten").fetchone()[0] == 4


def test_lessons_are_told_apart_by_study(wb: Workbench) -> None:
    save(wb, replace(STUDY, key="spring"), now=NOW)
    save_lesson(wb, LESSON, code_version="1")
    save_lesson(wb, replace(LESSON, study="spring", runs=2), code_version="1")
    choose(wb, "causeway", "spring", counts=False, now=NOW)
    assert [(kept.study, kept.runs, kept.counts) for kept in lessons_about(wb, "causeway")] == [
        ("saltmarsh", 5, True),
        ("spring", 2, False),
    ]


def test_a_damaged_lesson_is_told_by_name(wb: Workbench) -> None:
    save_lesson(wb, LESSON, code_version="1")
    with wb.writing() as conn:
        conn.execute("UPDATE lessons SET figures = '{\"spread\": 3}'")
    with pytest.raises(StoreProblem, match="what saltmarsh teaches about causeway"):
        all_lessons(wb)


def test_what_a_test_was_judged_on_is_remembered_by_study(wb: Workbench) -> None:
    assert judged_on(wb, "saltmarsh") == {}
    note_judged(wb, "saltmarsh", "causeway", "abc")
    note_judged(wb, "saltmarsh", "causeway", "def")
    assert judged_on(wb, "saltmarsh") == {"causeway": "def"}
