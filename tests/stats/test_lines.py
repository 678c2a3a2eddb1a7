"""Two straight lines at one place: the classical regression, pooled, and guarded."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from evenhand.stats.lines import apart, line

X = np.array([30.0, 32.0, 35.0, 37.0])
Y = np.array([41.0, 38.2, 33.1, 30.4])


def test_a_line_is_that_of_scipy():
    found, other = line(X, Y), stats.linregress(X, Y)
    assert found.slope == pytest.approx(other.slope)
    assert found.at(0.0) == pytest.approx(other.intercept)
    assert (found.variance / found.sxx) ** 0.5 == pytest.approx(other.stderr)


def test_the_error_of_its_height_is_that_of_its_intercept_where_x_is_nothing():
    found, other = line(X, Y), stats.linregress(X, Y)
    assert (found.variance * found.leverage(0.0)) ** 0.5 == pytest.approx(other.intercept_stderr)


def test_lines_apart_are_one_regression_with_four_unknowns():
    """By the normal equations of both lines at once, at x = 33."""
    x_b, y_b = np.array([31.0, 33.0, 36.0]), np.array([44.2, 41.0, 37.5])
    design = np.zeros((7, 4))
    design[:4, 0], design[:4, 1] = 1.0, X - 33.0
    design[4:, 2], design[4:, 3] = 1.0, x_b - 33.0
    y = np.concatenate([Y, y_b])
    beta, left, *_ = np.linalg.lstsq(design, y, rcond=None)
    variance = float(left[0]) / 3
    weights = np.array([1.0, 0.0, -1.0, 0.0])
    se = (variance * weights @ np.linalg.inv(design.T @ design) @ weights) ** 0.5
    found = apart(line(X, Y), line(x_b, y_b), 33.0)
    assert (found.d, found.se, found.df) == pytest.approx((beta[0] - beta[2], se, 3.0))


@given(st.floats(-3, 3), st.floats(-20, 20))
def test_turning_the_pair_round_turns_the_sign(slope, shift):
    a, b = line(X, Y), line(X, Y + slope * (X - 33.0) + shift)
    one, other = apart(a, b, 34.0), apart(b, a, 34.0)
    assert one.d == pytest.approx(-other.d)
    assert one.se == pytest.approx(other.se)


def test_a_line_that_scatters_much_more_is_not_pooled():
    rough = line([0, 1, 2, 3, 4, 5], [0.0, 9.0, -7.0, 8.0, -9.0, 6.0])
    calm = line([0, 1, 2, 3, 4, 5], [0.0, 1.01, 2.0, 2.99, 4.0, 5.01])
    found = apart(rough, calm, 2.5)
    assert not found.pooled
    assert found.df == pytest.approx(4.0, abs=0.1)


@pytest.mark.parametrize("x", [[1.0, 2.0], [3.0, 3.0, 3.0]])
def test_no_line_without_three_points_at_two_places(x):
    with pytest.raises(ValueError, match="three points at two places"):
        line(x, [1.0] * len(x))
