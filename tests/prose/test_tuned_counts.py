"""Counts of trials of a tuned part, and of those that failed: as they are on record of it, or objected to.

The example's processor of Plover has 40 trials, of which 15 failed; Dunlin's graphics card has 28.
"""

from __future__ import annotations

import pytest
from tests.prose.conftest import Check

from evenhand.prose.objection import Rule

PLOVER = "Plover, processor: 40 trials with 15 failures"


@pytest.mark.parametrize(
    "sentence",
    [
        "In 40 trials of Plover's processor 15 failed.",
        "Of forty trials of Plover's processor 25 passed.",
        "Plover's processor failed 15 times in 40 trials.",
        "We ran 40 trials of Plover's processor, thirteen of them at 4,650 MHz.",
        "We ran 68 trials of Plover's processor and Dunlin's graphics card in all.",
        "Three of 28 trials of Dunlin's graphics card had errors.",
        "Plover's processor is advised 1,245 mV by 40 trials.",
        "Plover's processor held 24 hours in three trials.",
        "More than 30 trials of Plover's processor are on record.",
        "By 32 trials read at the part, Plover's processor draws 114 W.",
        "If we ran another 200 trials, Plover's processor might be advised less.",
    ],
)
def test_counts_as_they_are_on_record_stand(checked: Check, sentence: str) -> None:
    assert checked(sentence) == ()


@pytest.mark.parametrize(
    ("sentence", "excerpt"),
    [
        ("We ran two hundred trials of Plover's processor.", "two hundred trials"),
        ("More than 50 trials of Plover's processor are on record.", "50 trials"),
        ("Of 40 trials of Plover's processor 2 failed.", "2 failed"),
        ("In 40 trials of Plover's processor only two failed.", "two failed"),
        ("Of 40 trials of Plover's processor 38 passed.", "38 passed"),
        ("Plover's processor failed 18 times.", "failed 18 times"),
    ],
)
def test_other_counts_are_objected_to_with_those_of_the_part(
    checked: Check, sentence: str, excerpt: str
) -> None:
    (found,) = checked(sentence)
    assert (found.rule, found.excerpt) == (Rule.CONTRARY_NUMBER, excerpt)
    assert found.reason == f"{excerpt} is not what the record has: {PLOVER}"
