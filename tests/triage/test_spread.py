"""What the cells of a study know of run-to-run spread."""

from __future__ import annotations

import math

import pytest

from evenhand.stats.spread import learn_spread
from evenhand.triage.spread import cell_spreads, lent, of_others, vouching


def test_a_cell_knows_the_variance_of_its_log_numbers_and_its_degrees_of_freedom() -> None:
    found = cell_spreads({("render", "wren"): [math.exp(x) for x in (1.0, 2.0, 3.0)]})
    assert found == {("render", "wren"): (pytest.approx(1.0), 2.0)}


def test_one_run_knows_nothing_and_numbers_without_a_logarithm_are_left_out() -> None:
    assert cell_spreads({("render", "wren"): [5.0], ("render", "plover"): [5.0, 0.0]}) == {}


def test_a_cell_borrows_from_all_others_and_not_from_itself() -> None:
    spreads = {("a", "x"): (1.0, 2.0), ("a", "y"): (2.0, 3.0), ("b", "x"): (3.0, 4.0)}
    assert of_others(spreads, but=("a", "y")) == ((1.0, 2.0), (3.0, 4.0))


def test_what_is_lent_hardly_changes_with_one_run_of_many() -> None:
    spreads = [(1e-4 * factor, 4.0) for factor in (0.4, 0.7, 0.9, 1.1, 1.3, 1.8, 0.8, 1.2)] * 3
    fewer = [*spreads[:-1], (1.25e-4, 3.0)]
    before, after = lent(spreads), lent(fewer)
    assert before is not None
    assert after is not None
    assert (before.variance, before.df) == (after.variance, after.df)


def test_what_is_lent_lies_near_what_is_learned() -> None:
    spreads = [(1e-4 * factor, 4.0) for factor in (0.4, 0.7, 0.9, 1.1, 1.3, 1.8)]
    told, learned = lent(spreads), learn_spread(*zip(*spreads, strict=True), for_new_test=True)
    assert told is not None
    assert learned is not None
    assert told.variance == pytest.approx(learned.variance, rel=0.12)
    assert told.df == pytest.approx(learned.df, rel=0.23)


def test_nothing_known_is_nothing_lent() -> None:
    assert lent([]) is None
    assert lent([(0.0, 4.0)]) is None


def test_a_number_far_off_does_not_tell_of_the_others_spread() -> None:
    calm = [math.exp(x) for x in (0.0, 0.01, -0.01, 0.005)]
    cell = ("render", "wren")
    (told,) = cell_spreads({cell: calm}).values()
    for odd in (1000.0, 0.7, 1.15):
        assert cell_spreads({cell: [odd, *calm]})[cell] == (pytest.approx(told[0]), told[1])
    assert cell_spreads({cell: [1.07, *calm]})[cell][1] == 4.0


def test_of_two_numbers_far_apart_neither_is_left_out() -> None:
    assert cell_spreads({("render", "wren"): [1.0, 2.0]})["render", "wren"][1] == 1.0


def test_a_test_that_scatters_widely_keeps_all_its_numbers() -> None:
    wide = [math.exp(x) for x in (-0.12, -0.05, 0.0, 0.04, 0.13)]
    assert cell_spreads({("render", "wren"): wide})["render", "wren"][1] == 4.0


def test_runs_that_nothing_holds_vouch_before_those_that_something_holds() -> None:
    free, warm, capped = frozenset[str](), frozenset({"room"}), frozenset({"rate-cap"})
    assert vouching([(9.0, free), (4.0, capped), (4.1, capped), (4.2, capped), (9.1, free)]) == [9.0, 9.1]
    assert vouching([(9.0, free), (4.0, capped), (4.1, capped)]) == [4.0, 4.1]
    assert vouching([(9.0, warm), (9.1, warm), (9.2, warm)]) == [9.0, 9.1, 9.2]
    assert vouching([(9.0, free), (4.0, capped)]) == vouching([(9.0, free)]) == vouching([]) == []


def test_two_runs_further_apart_than_other_cells_scatter_lend_no_spread() -> None:
    calm = [(0.005**2 * factor, 2.0) for factor in (0.4, 0.7, 1.0, 1.2, 1.7)]
    near, far = (0.006**2 / 2, 1.0), (0.10**2 / 2, 1.0)
    assert lent([*calm, far, far]) == lent(calm)
    assert lent([*calm, near]) != lent(calm)


def test_where_all_cells_hold_two_runs_none_is_left_out() -> None:
    pairs = [(0.005**2, 1.0), (0.006**2, 1.0), (0.004**2, 1.0)]
    assert lent([*pairs, (0.1**2 / 2, 1.0)]) != lent(pairs)
