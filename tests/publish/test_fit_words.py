"""What is said of fit and of power: a pass only where everything is known, and why not elsewhere."""

from __future__ import annotations

from typing import Any

import pytest
from tests.fit.parts import part

from evenhand.fit.asking import fits
from evenhand.fit.power import Budget, budget
from evenhand.fit.reading import Item
from evenhand.publish.figures.power_rows import power_rows
from evenhand.publish.fit_words import fit_sentence, power_sentence, unasked_sentence

CASE = part("case", cooler_height_mm=160)


def cooler(**facts: Any) -> Item:
    return part("cooler", way="air", **facts)


def drawn(power_w: float, **facts: Any) -> Budget:
    supply = part("supply", power_w=power_w, **facts)
    found = budget((part("processor", power_w=120), part("graphics", power_w=300), supply))
    assert found is not None
    return found


FAILS = drawn(500, bears_times={"0.1": 1.2, "1": 2, "10": 2, "100": 2})
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


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (drawn(900), "fits. For long it draws up to 420 W of 900 W, for 0.1 ms up to 780 W of 900 W."),
        (drawn(400), "doesn’t fit. For long it draws up to 420 W of 400 W that its supply bears."),
        (
            drawn(700),
            "unknown. For 0.1 and 1 ms it may draw up to 780 W of 700 W that its supply is rated for: ",
        ),
        (
            FAILS,
            "doesn’t fit. For 0.1 ms it may draw up to 780 W of 600 W that its supply bears for so long.",
        ),
        (None, "unknown. No supply is on record."),
    ],
)
def test_power_is_told_in_a_sentence(found: Budget | None, said: str) -> None:
    told = power_sentence(found).replace("\u00a0", " ")
    assert told.startswith(f"Power: {said}")
    assert told == f"Power: {said}" or told.endswith("whether it bears that so briefly is not known.")


def test_a_bar_is_filled_where_it_is_borne_dashed_where_nobody_knows_and_outlined_where_it_is_not() -> None:
    svg = power_rows(drawn(700), 3, name="Wren").svg
    assert (svg.count('class="bar b3"'), svg.count('class="bar uns"')) == (3, 2)
    assert 'class="bar hol"' in power_rows(drawn(400), 3, name="Wren").svg
    assert svg.count('class="post"') == 5
    assert "For 0.1\u00a0ms up to 780\u00a0W of 700\u00a0W: unknown" in svg


def test_of_power_that_is_not_known_nothing_is_drawn() -> None:
    unknown = budget((part("processor"), part("supply")))
    assert unknown is not None
    assert power_rows(unknown, 1, name="Wren").svg == ""
    assert power_sentence(unknown).startswith("Power: unknown.")
