"""Scores of parts, from what is said of them by role."""

from __future__ import annotations

import math

import pytest

from evenhand.money.roles import rated

KINDS = {
    "osk-9": "graphics", "osk-7": "graphics", "nimtal-4": "processor", "nimtal-6": "processor",
    "lintel": "board", "nook": "board", "hollin": "case",
}  # fmt: skip
SAID = {
    "osk-9": {"games": 1.5, "work": 1.1}, "osk-7": {"games": 1.0, "work": 1.0},
    "nimtal-6": {"games": 1.1, "work": 1.4}, "nimtal-4": {"games": 1.0},
}  # fmt: skip


def test_a_score_is_a_weighted_log_over_the_roles() -> None:
    found = rated(SAID, kinds=KINDS, weights={"games": 3, "work": 1})
    assert found.scores["osk-9"] == pytest.approx(0.75 * math.log(1.5) + 0.25 * math.log(1.1))
    assert found.scores["osk-7"] == 0.0


def test_a_kind_of_which_nothing_is_said_plays_no_role() -> None:
    found = rated(SAID, kinds=KINDS, weights={"games": 1, "work": 1})
    assert found.scores["hollin"] == found.scores["lintel"] == 0.0


def test_a_part_of_which_less_is_said_than_of_others_is_left_out_and_told() -> None:
    found = rated(SAID, kinds=KINDS, weights={"games": 1, "work": 1})
    assert found.unsaid == ("nimtal-4",)
    assert "nimtal-4" not in found.scores
    assert rated(SAID, kinds=KINDS, weights={"games": 1, "work": 0}).unsaid == ()
