"""A verdict turns where another is ahead or the better value; another number alone turns nothing."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.editions.test_bundle import small

from evenhand.editions.snapshot import Snapshot
from evenhand.editions.turned import turned


def says(**verdict: str) -> Snapshot:
    one: dict[str, Any] = {
        "a": "p",
        "b": "w",
        "outcome": "ahead",
        "value": "a",
        "words": "as it was",
        **verdict,
    }
    return replace(small(), verdicts={"audiences": [{"audience": {"key": "play"}, "verdicts": [one]}]})


@pytest.mark.parametrize(
    "verdict",
    [
        {"outcome": "behind"},
        {"outcome": "level"},
        {"outcome": "unsettled"},
        {"value": "b"},
        {"value": "unknown"},
    ],
)
def test_another_outcome_or_better_value_is_a_turn(verdict: dict[str, str]) -> None:
    assert list(turned(says(), says(words="as it is", **verdict))) == ["as it was → as it is"]


def test_another_number_or_order_of_the_pair_is_none() -> None:
    assert list(turned(says(), says(words="by 3 % less"))) == []
    assert list(turned(says(), says(a="w", b="p", outcome="behind", value="b"))) == []


def test_a_verdict_that_is_no_more_or_is_new_is_told() -> None:
    nothing = replace(small(), verdicts={"audiences": []})
    assert list(turned(says(), nothing)) == ["as it was → no verdict any more"]
    assert list(turned(nothing, says())) == ["no verdict before → as it was"]
