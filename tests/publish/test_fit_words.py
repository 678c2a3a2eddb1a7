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


def test_of_many_misfits_the_first_are_told_and_how_many_more_there_are() -> None:
    heights = {
        "height_mm": 165,
        "power_w": 60,
        "sockets": ["Q5"],
        "over_memory": True,
        "memory_height_mm": 30,
    }
    wrong = (
        part("processor", socket="Q7", power_w=120, memory_types=["DDR4"]),
        part("board", socket="Q6", memory_type="DDR4", memory_form="DIMM", memory_slots=1),
        part("memory", type="DDR5", form="DIMM", modules=2, height_mm=44), CASE, cooler(**heights),
    )  # fmt: skip
    said = fit_sentence(fits(wrong))
    assert said.startswith("Doesn’t fit by eight of ")
    assert said.count(" No.") == 3
    assert "No. Nor by five others." in said


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
