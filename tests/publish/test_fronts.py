"""Who is in front of all the others, said in one headline."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s

from evenhand.findings.finding import Outcome
from evenhand.publish.fronts import UNSETTLED, front_of, fronts_headline

TRIO = (*s.PAIR, *s.findings_of("plover", "wren"), *s.findings_of("dunlin", "wren"))


def of_tests(*tests):
    return [f for f in TRIO if f.test in tests]


@pytest.mark.parametrize(
    ("tests", "words"),
    [
        (("causeway", "tramlines", "regatta"), "Plover ahead of all in two, Dunlin in one"),
        (("parish", "choir"), "Plover ahead of all in one, Plover and Dunlin level in one"),
        (("causeway", "regatta"), "Plover ahead of all in both tests"),
        (("night",), "Dunlin ahead of all in Night render"),
        (("choir",), "Plover and Dunlin level in Quarry Choir"),
    ],
)
def test_who_is_ahead_of_all_in_how_many_tests(tests, words):
    assert fronts_headline(of_tests(*tests), s.NAMES) == words


def test_of_two_setups_it_is_their_headline():
    assert fronts_headline(s.PAIR, s.NAMES) == "Plover ahead in four, Dunlin in three, two level"


def test_without_findings_nothing_is_said():
    assert fronts_headline([], s.NAMES) == ""


def with_outcomes(*outcomes):
    """Plover over Dunlin, Plover over Wren, Dunlin over Wren in one test."""
    return [replace(f, outcome=o) for f, o in zip(of_tests("choir"), outcomes, strict=True)]


A, B, L, U = Outcome.AHEAD, Outcome.BEHIND, Outcome.LEVEL, Outcome.UNSETTLED


@pytest.mark.parametrize(
    ("outcomes", "front"),
    [
        ((A, A, U), ("plover",)),
        ((B, A, A), ("dunlin",)),
        ((L, A, A), ("plover", "dunlin")),
        ((L, L, L), ("plover", "dunlin", "wren")),
        ((A, U, A), UNSETTLED),  # Wren may be ahead of Plover
        ((U, A, A), UNSETTLED),
        ((L, A, U), UNSETTLED),  # Dunlin is level with the front and unsettled with Wren
        ((U, U, U), UNSETTLED),
    ],
)
def test_nobody_is_in_front_while_a_pair_at_the_front_is_unsettled(outcomes, front):
    assert front_of(with_outcomes(*outcomes)) == front


def test_a_test_in_which_a_pair_was_not_compared_is_unsettled():
    assert front_of(of_tests("causeway")[:2]) == ("plover",)
    assert front_of(of_tests("choir")[:1] + of_tests("choir")[2:]) == UNSETTLED


def test_unsettled_and_level_tests_are_counted_last_and_in_full():
    unsettled = with_outcomes(U, U, U)
    assert fronts_headline([*of_tests("causeway"), *unsettled], s.NAMES) == (
        "Plover ahead of all in one, one unsettled"
    )
    assert fronts_headline(unsettled, s.NAMES) == "Unsettled in Quarry Choir: nobody is ahead of all"
    assert fronts_headline(with_outcomes(L, L, L), s.NAMES) == "All level in Quarry Choir"
    assert fronts_headline([*of_tests("causeway"), *with_outcomes(L, L, L)], s.NAMES) == (
        "Plover ahead of all in one, all level in one"
    )
