"""What the cells of a study know of run-to-run spread."""

from __future__ import annotations

import math

import pytest

from evenhand.triage.spread import cell_spreads, of_others


def test_a_cell_knows_the_variance_of_its_log_numbers_and_its_degrees_of_freedom() -> None:
    found = cell_spreads({("render", "wren"): [math.exp(x) for x in (1.0, 2.0, 3.0)]})
    assert found == {("render", "wren"): (pytest.approx(1.0), 2.0)}


def test_one_run_knows_nothing_and_numbers_without_a_logarithm_are_left_out() -> None:
    assert cell_spreads({("render", "wren"): [5.0], ("render", "plover"): [5.0, 0.0]}) == {}


def test_a_cell_borrows_from_all_others_and_not_from_itself() -> None:
    spreads = {("a", "x"): (1.0, 2.0), ("a", "y"): (2.0, 3.0), ("b", "x"): (3.0, 4.0)}
    assert of_others(spreads, but=("a", "y")) == ((1.0, 2.0), (3.0, 4.0))
