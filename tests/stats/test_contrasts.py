"""Weighted sums of cell means: a two-sided difference where there are two cells, regression where more."""

import numpy as np
import pytest

from evenhand.stats.between import Rule, differences, sample
from evenhand.stats.contrasts import contrasts, interaction_weights, means_of, weights_of
from evenhand.stats.designs import Change, Design, changes_between

FULL = Design(factors=("p", "g"), rows=(("p0", "g0"), ("p1", "g0"), ("p0", "g1"), ("p1", "g1")))
P = Change(factor="p", low="p0", high="p1")
G = Change(factor="g", low="g0", high="g1")


def test_with_two_cells_it_is_the_difference_of_a_comparison():
    rng = np.random.default_rng(3)
    pairs = [(rng.normal(0.02, 0.01, 4), rng.normal(0.0, 0.01, 3)) for _ in range(5)]
    theirs = differences([sample(a, b) for a, b in pairs])
    ours = contrasts([means_of(pair) for pair in pairs], [[1, -1]] * 5)
    for x, y in zip(ours, theirs, strict=True):
        assert (x.d, x.se, x.df) == pytest.approx((y.d, y.se, y.df))
        assert x.rule is y.rule


def test_least_squares_agrees_with_a_regression_on_cell_means():
    rows = (("p0", "g0"), ("p1", "g0"), ("p1", "g1"), ("p2", "g1"), ("p2", "g0"))
    made = Design(factors=("p", "g"), rows=rows)
    means = np.array([1.0, 1.4, 2.1, 2.0, 1.7])
    matrix = np.array([[1, p == "p1", p == "p2", g == "g1"] for p, g in rows], float)
    by_numpy = np.linalg.lstsq(matrix, means, rcond=None)[0]
    assert weights_of(made, [Change(factor="p", low="p0", high="p2")]) @ means == pytest.approx(by_numpy[2])
    assert weights_of(made, [Change(factor="p", low="p1", high="p2")]) @ means == pytest.approx(
        by_numpy[2] - by_numpy[1]
    )


def test_swapping_levels_turns_every_weight():
    back = Change(factor="p", low="p1", high="p0")
    assert weights_of(FULL, [back]) == pytest.approx(-weights_of(FULL, [P]))
    assert interaction_weights(FULL, back, G) == pytest.approx(-interaction_weights(FULL, P, G))


def test_main_effects_and_interaction_rebuild_a_cell():
    y = np.array([1.0, 1.1, 1.3, 1.5])
    effect = weights_of(FULL, changes_between(FULL, FULL.rows[0], FULL.rows[3])) @ y
    assert effect == pytest.approx(y[3] - y[0])
    assert weights_of(FULL, [P]) @ y + weights_of(FULL, [G]) @ y == pytest.approx(effect)
    assert interaction_weights(FULL, P, G) @ y == pytest.approx(0.1)


def test_three_corners_have_no_interaction():
    assert interaction_weights(Design(factors=FULL.factors, rows=FULL.rows[:3]), P, G) is None


def test_a_square_with_another_factor_in_one_corner_is_no_square():
    rows = tuple((*row, "d1" if i == 3 else "d0") for i, row in enumerate(FULL.rows))
    assert interaction_weights(Design(factors=("p", "g", "driver"), rows=rows), P, G) is None
    by_pairs = tuple((*row, f"d{i // 2}") for i, row in enumerate(FULL.rows))
    assert interaction_weights(Design(factors=("p", "g", "driver"), rows=by_pairs), P, G) is not None


def test_a_cell_far_noisier_than_the_rest_is_not_pooled():
    quiet = [0.0, 0.001, -0.001, 0.0005]
    made = means_of([[0.0, 0.3, -0.3, 0.1], quiet, quiet, quiet])
    assert made.uneven
    found = contrasts([made], [[0, 1, -1, 0]])[0]
    assert found.rule is Rule.WELCH
    assert found.se < 0.001


def test_cells_of_one_run_borrow_what_the_others_show():
    found = contrasts([means_of([[0.0], [0.1, 0.12], [0.2, 0.21]])], [[-1, 1, 0]])[0]
    assert found.rule is Rule.BORROWED
    assert found.df == 2.0


def test_runs_alike_to_the_last_digit_claim_no_error():
    assert contrasts([means_of([[1.0, 1.0], [2.0, 2.0]])], [[1, -1]])[0].se is None


def test_no_test_no_sum():
    assert contrasts([], []) == ()
