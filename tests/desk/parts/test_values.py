"""Values of facts as people write them: read back alike, and refused with what would do."""

from __future__ import annotations

from typing import Any

import pytest

from evenhand.desk.parts.values import read_value, written
from evenhand.errors import BadRecord
from evenhand.fit.known import fact_kinds

KINDS = fact_kinds()


@pytest.mark.parametrize(
    ("kind", "key", "text", "value"),
    [
        ("cooler", "height_mm", "158", 158),
        ("cooler", "height_mm", " 1.158,5 mm ", 1158.5),
        ("cooler", "way", "AIR", "air"),
        ("processor", "own_graphics", "yes", True),
        ("processor", "memory_types", "DDR5, DDR4", ["DDR5", "DDR4"]),
        ("board", "front_headers", "none", []),
        ("board", "firmware_for", "elm-8 = 1.20, ash-6=any", {"elm-8": "1.20", "ash-6": "any"}),
        ("supply", "efficiency_by_load", "20 % = 88,5 %\n50 = 92", {"20": 88.5, "50": 92.0}),
        ("graphics", "short_times", "0,1 ms = 1,7 | 100 = 1.15", {"0.1": 1.7, "100": 1.15}),
        ("supply", "bears_times", "0.1 = 1.5, 1 = 1.4", {"0.1": 1.5, "1": 1.4}),
        ("supply", "bears_times", "0,1 = 1,5, 1 = 1,4", {"0.1": 1.5, "1": 1.4}),
        ("supply", "efficiency_by_load", "20 % = 88,5 %, 50 = 92", {"20": 88.5, "50": 92.0}),
        ("board", "slots", "none", []),
        (
            "board", "slots",
            "x16; length 16; lanes 16; lanes if shared 8; shares M2_2, SATA 5 | x1; length 1; shares none",
            [
                {
                    "name": "x16", "length": 16, "lanes": 16, "lanes_if_shared": 8,
                    "shares": ["M2_2", "SATA 5"],
                },
                {"name": "x1", "length": 1, "shares": []},
            ],
        ),
    ],
)  # fmt: skip
def test_what_is_written_is_read_and_what_is_read_can_be_written_again(
    kind: str, key: str, text: str, value: Any
) -> None:
    fact = KINDS[kind][key]
    assert read_value(fact, text) == value
    assert read_value(fact, written(fact, value)) == value


def test_what_is_not_known_is_written_as_nothing() -> None:
    assert written(KINDS["cooler"]["height_mm"], None) == ""


@pytest.mark.parametrize(
    ("kind", "key", "text", "todo"),
    [
        ("cooler", "height_mm", "tall", "in digits"),
        ("cooler", "height_mm", "−3", "from 0 on"),
        ("board", "memory_slots", "2.5", "a whole number"),
        ("cooler", "way", "water", "write air or liquid"),
        ("processor", "own_graphics", "maybe", "write yes or no"),
        ("board", "firmware_for", "elm-8", "name = value"),
        ("graphics", "short_times", "0.1", "milliseconds = so many times"),
        ("supply", "bears_times", "0.1=1.5,1=1.4", "in digits"),
        ("supply", "bears_times", "0.1, 1", "a comma and a space between"),
        ("board", "slots", "x16; wide 16", "length, lanes, lanes if shared, shares"),
        ("board", "slots", "x16; lanes many", "from 0 on"),
    ],
)
def test_what_cannot_be_read_says_how_it_is_written(kind: str, key: str, text: str, todo: str) -> None:
    with pytest.raises(BadRecord) as refused:
        read_value(KINDS[kind][key], text)
    assert todo in refused.value.todo
