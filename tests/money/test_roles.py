"""Scores of parts: from what is said of them by role, and from machines that were measured."""

from __future__ import annotations

import math

import pytest

from evenhand.money.roles import booked, rated

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


MACHINES = {
    "wren": ("osk-7", "nimtal-6", "nook", "hollin"),
    "plover": ("osk-9", "nimtal-6", "lintel", "hollin"),
}


def test_measured_machines_have_the_index_that_was_measured() -> None:
    scores = rated(SAID, kinds=KINDS, weights={"games": 1}).scores
    measured = {"wren": 0.0, "plover": math.log(1.3)}
    found = booked(scores, MACHINES, measured, kinds=KINDS)
    for machine, index in measured.items():
        assert sum(found.scores[part] for part in MACHINES[machine]) == pytest.approx(index)
    assert found.apart == 0.0
    assert found.scores["osk-9"] == scores["osk-9"]


def test_machines_that_share_a_board_share_the_mean_and_say_how_far_they_are_apart() -> None:
    scores = dict.fromkeys(KINDS, 0.0)
    machines = {"a": ("osk-7", "lintel"), "b": ("osk-9", "lintel")}
    found = booked(scores, machines, {"a": 0.1, "b": 0.3}, kinds=KINDS)
    assert found.scores["lintel"] == pytest.approx(0.2)
    assert found.apart == pytest.approx(0.2)


def test_a_machine_of_which_not_all_is_known_changes_nothing() -> None:
    scores = {"osk-7": 0.0, "lintel": 0.0}
    found = booked(scores, {"a": ("osk-7", "nimtal-4", "lintel")}, {"a": 0.5}, kinds=KINDS)
    assert found.scores == scores
