"""Slopes on logs: least squares where settings tell, none where they moved together."""

import numpy as np
import pytest

from evenhand.stats.slopes import slope_weights, sum_weights


def test_two_clocks_that_moved_apart_have_the_slopes_of_a_regression():
    settings = np.array([[0.0, 0.0], [0.1, 0.0], [0.0, 0.2], [0.1, 0.25]])
    y = np.array([1.0, 1.06, 1.05, 1.13])
    by_numpy = np.linalg.lstsq(np.c_[np.ones(4), settings], y, rcond=None)[0][1:]
    found = slope_weights(settings)
    assert [w @ y for w in found] == pytest.approx(by_numpy)
    assert sum_weights(found) @ y == pytest.approx(by_numpy.sum())


def test_two_clocks_that_moved_together_have_no_slope_each():
    assert slope_weights([[0.0, 0.0], [0.1, 0.1], [0.2, 0.2]]) == (None, None)
    assert sum_weights((None, None)) is None


def test_a_setting_that_never_moved_has_none():
    first, second = slope_weights([[0.0, 3.0], [0.1, 3.0]])
    assert first is not None
    assert second is None


def test_a_shift_of_every_setting_changes_nothing():
    settings = np.array([[0.0], [0.1], [0.3]])
    assert slope_weights(settings + 8.0)[0] == pytest.approx(slope_weights(settings)[0])


def test_nothing_was_set_nothing_is_summed():
    assert sum_weights(()) is None
