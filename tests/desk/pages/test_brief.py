"""What the brief says in each state of a study."""

from __future__ import annotations

from datetime import timedelta

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.desk.pages.brief import brief_page
from evenhand.desk.pages.margin import posts_of
from evenhand.desk.study.briefing import add_test, change_study, drop_test, start_study


def test_a_study_of_nothing_says_what_is_missing(wb: Desk) -> None:
    key = start_study(wb, {"title": "Desks"}, now=NOW).key
    page = brief_page(wb, key)
    assert page.answer == (
        "The question is not written down yet. No tests yet, margin ±3\u00a0%, open until the first run."
    )
    assert page.tests_said == "No test is chosen yet"
    assert all(fact.open for fact in page.question if fact.label != "Name of the study")


def test_without_runs_the_margin_is_shown_on_an_example(wb: Desk) -> None:
    key = start_study(wb, {"title": "Desks", "margin": 0.05}, now=NOW).key
    posts = posts_of(load_study(wb, key))
    # A share of the ratio: 60 / 1.05 and 60 × 1.05, as far apart whichever build comes first.
    assert (posts.low, posts.high) == ("57.1\u00a0fps", "63.0\u00a0fps")
    assert "for example" in posts.of


def test_with_runs_it_is_shown_on_what_was_measured(stocked: Desk) -> None:
    posts = brief_page(stocked, "quay").posts
    assert "for example" not in posts.of
    assert float(posts.middle.split("\u00a0")[0]) == pytest.approx(100, rel=0.02)


def test_it_is_fixed_by_what_was_written_before_the_first_run(stocked: Desk) -> None:
    change_study(stocked, "quay", {"margin": 0.05}, now=NOW + timedelta(days=40))
    page = brief_page(stocked, "quay")
    assert "fixed on 4 May 2031 before the first run; one term was changed since." in page.answer
    assert len(page.changed) == 1


def test_what_leans_on_what_is_told_once(wb: Desk) -> None:
    key = start_study(wb, {"title": "Desks"}, now=NOW).key
    for name, leans in (("A", ["graphics"]), ("B", ["graphics", "storage"])):
        given = {"name": name, "measures": "score", "unit": "s", "direction": "lower", "stresses": leans}
        add_test(wb, key, given, now=NOW)
    assert brief_page(wb, key).tests_said == "Two tests, leaning on graphics and storage"
    change_study(wb, key, {"weights": {"a": 2.0}}, now=NOW)
    assert brief_page(wb, key).weights_said == "Tests weigh differently in the index"


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"question": "Which?"}, "The question was changed."),
        ({"margin": 0.02}, "The margin was changed from 3\u00a0% to 2\u00a0%."),
        ({"weights": {"causeway": 2.0}}, "The weights were changed."),
        ({"tests": ["tramlines", "causeway", "render"]}, "The order of the tests was changed."),
        ({"ambient_c": None}, "The room temperature range was changed from 22 to 26\u00a0°C to none."),
    ],
)
def test_what_was_done_is_told_in_words(stocked: Desk, given: dict[str, object], said: str) -> None:
    done = brief_page(stocked, "quay", done=change_study(stocked, "quay", given, now=NOW).change).done
    assert done is not None
    assert (done.words, done.undo) == (said, done.number)


def test_what_cannot_be_undone_any_more_is_not_offered(stocked: Desk) -> None:
    first = drop_test(stocked, "quay", "causeway", now=NOW).change
    change_study(stocked, "quay", {"margin": 0.02}, now=NOW)
    done = brief_page(stocked, "quay", done=first).done
    assert done is not None
    assert done.undo == 0
    assert "is out of the study; what is on record stays." in done.words
