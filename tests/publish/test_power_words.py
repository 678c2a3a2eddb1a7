"""What is said of power: a pass only where everything is known, and why not elsewhere."""

from __future__ import annotations

from typing import Any

import pytest
from tests.fit.parts import part

from evenhand.fit.power import Budget, budget
from evenhand.publish.figures.power_rows import power_rows
from evenhand.publish.power_words import power_sentence


def drawn(power_w: float, *, years: float | None = 0, **facts: Any) -> Budget:
    age = {} if years is None else {"years": years}
    supply = part("supply", power_w=power_w, **age, **facts)
    found = budget((part("processor", power_w=120), part("graphics", power_w=300), supply))
    assert found is not None
    return found


FAILS = drawn(500, bears_times={"0.1": 1.2, "1": 2, "10": 2, "100": 2})


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


PROCESSOR, SUPPLY = part("processor", power_w=65), part("supply", power_w=300, years=1)
OWN_NONE = part("processor", power_w=65, own_graphics=False)
NO_CARD = "No graphics card is on record"
TWO = "Two supplies are on record: what they bear together is not known"
TAKEN_FOR_OLD = "the age of the supply is not known, it is taken for 10 years old."


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (
            drawn(900, years=None),
            "fits. For long it draws up to 420 W of 810 W, for 0.1 ms up to 780 W of 810 W; " + TAKEN_FOR_OLD,
        ),
        (
            drawn(450, years=None),
            "unknown. For long it draws up to 420 W of 405 W that its supply is sure to bear: "
            + TAKEN_FOR_OLD,
        ),
        (
            drawn(400, years=None),
            "doesn’t fit. For long it draws up to 420 W of 400 W that its supply bears.",
        ),
        (
            budget((SUPPLY,)),
            "unknown. No processor and no graphics card is on record, so that nobody knows what it draws.",
        ),
        (
            budget((SUPPLY, PROCESSOR)),
            f"unknown. {NO_CARD}, and whether its processor has graphics of its own is not known.",
        ),
        (
            budget((SUPPLY, OWN_NONE)),
            f"unknown. {NO_CARD}, and its processor has no graphics of its own.",
        ),
        (
            budget((SUPPLY, SUPPLY, PROCESSOR)),
            f"unknown. {TWO}, since nothing says which part hangs on which.",
        ),
        (
            budget((SUPPLY, part("graphics", power_w=400))),
            "doesn’t fit. For long it draws at least 400 W of 297 W that its supply bears.",
        ),
    ],
)
def test_power_that_is_not_known_says_why(found: Budget | None, said: str) -> None:
    assert power_sentence(found).replace("\u00a0", " ") == f"Power: {said}"


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
