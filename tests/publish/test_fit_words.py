"""What is said of fit: a pass only where everything is known, and why not elsewhere."""

from __future__ import annotations

from typing import Any

import pytest
from tests.fit.parts import part

from evenhand.fit.asking import fits
from evenhand.fit.reading import Item
from evenhand.publish.fit_words import fit_sentence, unasked_sentence

CASE = part("case", cooler_height_mm=160)


def cooler(**facts: Any) -> Item:
    return part("cooler", way="air", **facts)


ONE_EACH = (
    "Doesn’t fit by one of two rules: Does the side panel close over the cooler? No. One rule lacks a fact."
)


@pytest.mark.parametrize(
    ("build", "said"),
    [
        ((CASE, cooler(height_mm=155)), "Fits by the one rule asked."),
        ((CASE, cooler()), "Unknown: the one rule asked lacks a fact."),
        (
            (CASE, cooler(height_mm=165)),
            "Doesn’t fit by the one rule asked: Does the side panel close over the cooler? No.",
        ),
        (
            (CASE, cooler(height_mm=165), part("memory", height_mm=34)),
            ONE_EACH,
        ),
        ((), "Unknown: no rule could be asked. Note its parts first."),
    ],
)
def test_the_rules_are_told_in_a_sentence(build: tuple[Item, ...], said: str) -> None:
    assert fit_sentence(fits(build)) == said


def test_what_could_not_be_asked_is_told_with_what_lacks() -> None:
    assert unasked_sentence(["board", "case"]).startswith("Not asked: ")
    assert "no processor" in unasked_sentence(["board", "case"])
