"""Sentences in the record's own words, and which of them it says no more."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.editions.test_snapshot import SMALL

from evenhand.editions.own_words import MARGIN, gist, names_gone, names_in, said_no_more
from evenhand.editions.snapshot import Snapshot

FIGURES = {"margin": {"words": "3\xa0%", "ranged": "3\xa0%"}}


def saying(words: str, address: str = "test-a", **other: object) -> Snapshot:
    rows = {address: {"words": words, "kind": "a test's result", "rung": 1, "pair": ["a", "b"], "why": ""}}
    return replace(SMALL, claims=rows, figures=FIGURES, **other)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("A is ahead of B by 2.7\xa0% (1.9 to 3.4).", "A is ahead of B by 12\xa0%."),
        ("A draws more at the wall than B, by 44.0\xa0% (42.3 to 45.8).", "A draws more at the wall than B."),
        (
            "A is better value than B while A costs less than 1,019 dl, prices of 4 May 2031.",
            "A is better value than B, prices of 5 May 2031 and 6 May 2031.",
        ),
        ("A is better value than B, prices of 4, 5 and 28 May 2031.", "A is better value than B."),
        ("A is better value than B, prices of 4 May 2031 and 1 June 2031.", "A is better value than B."),
        ("A and B are level by value at the prices of 4 May 2031.", "A and B are level by value."),
    ],
)
def test_numbers_and_days_make_no_other_sentence(one: str, other: str) -> None:
    assert gist(one) == gist(other)


def test_what_is_said_otherwise_is_gone_with_what_would_stand() -> None:
    before = saying("Over these nine tests, A and B are level within 3\xa0%.")
    after = saying("Over these eight tests, A and B are level within 3\xa0%.")
    gone = said_no_more(before, after)
    assert set(gone) == {
        "Over these nine tests, A and B are level within 3 %.",
        f"Over these nine tests, A and B are level within {MARGIN}.",
    }
    assert {each.would_stand for each in gone.values()} == {
        "Over these eight tests, A and B are level within 3\xa0%."
    }
    assert said_no_more(before, saying("A leads.", address="test-b")).keys() == gone.keys()


def test_a_number_that_moves_takes_no_sentence_away() -> None:
    before, after = (saying(f"A is ahead of B by {n}\xa0% (1.9 to 3.4).") for n in ("2.7", "2.8"))
    assert said_no_more(before, after) == {}


def test_a_bound_margin_moves_without_its_sentence() -> None:
    before = saying("A and B are level within 3\xa0%.")
    wider = {"margin": {"words": "4\xa0%", "ranged": "4\xa0%"}}
    after = replace(saying("A and B are level within 4\xa0%."), figures=wider)
    assert set(said_no_more(before, after)) == {"A and B are level within 3 %."}


def test_a_name_that_the_record_has_no_more_is_told() -> None:
    tests = [{"key": "hay", "name": "Hay"}, {"key": "rye", "name": "Rye"}]
    before = saying("A leads.", tests=tests)
    after = saying("A leads.", tests=[{"key": "hay", "name": "Straw"}])
    gone = names_gone(before, after)
    assert gone == {"Hay": "“Hay” is called “Straw” now", "Rye": "“Rye” is no longer compared"}
    assert list(names_in("In Hay and in Ryeland, A leads.", gone)) == ["“Hay” is called “Straw” now"]
