"""Moving means of the distance between two takes."""

from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import run
from tests.triage.scenes import scene_take, seen, window, with_pause

from evenhand.triage.pairs import pair
from evenhand.triage.stretches import agreed_along, moving_means, on_grid, sizes, swings
from evenhand.triage.thresholds import DEFAULT

LIMITS = DEFAULT.stretch


def test_windows_are_whole_bins_and_two_at_least() -> None:
    assert sizes(LIMITS, 0.5) == [3, 4, 6, 8, 12, 16, 24, 32]
    assert sizes(LIMITS, 1.0)[:2] == [2, 2]


def test_swings_are_told_for_windows_that_fit_and_zero_for_others() -> None:
    apart = np.zeros(40)
    apart[10:16] = 0.2
    rms, worst = swings(apart, 0.5, LIMITS)
    assert worst[:3].tolist() == pytest.approx([0.2, 0.2, 0.2])
    assert worst[3] == pytest.approx(0.15)
    assert rms[2] == pytest.approx(np.sqrt(np.mean(moving_means(apart, 6, least_known=1.0) ** 2)))
    assert (rms[-2:] == 0).all()


def test_a_window_of_which_too_little_is_known_says_nothing() -> None:
    values = np.array([1.0, np.nan, np.nan, 1.0, 1.0])
    assert np.isnan(moving_means(values, 3, least_known=0.7)).tolist() == [True, True, True]
    assert moving_means(values, 3, least_known=0.6).tolist()[2] == 1.0
    assert moving_means(values, 9, least_known=0.5).size == 0


def test_only_places_that_enough_siblings_know_are_agreed_on() -> None:
    means = np.array([[0.3, 0.2, np.nan], [0.1, np.nan, np.nan], [0.2, 0.4, 0.5]])
    assert agreed_along(means, 2).tolist() == [0.1, 0.2, -np.inf]


def test_on_the_run_s_own_time_what_nobody_knows_stays_unknown() -> None:
    view = seen((run("1", with_pause(scene_take(1), 15.0, 3000.0)), run("2", scene_take(2, seconds=30.0))))
    laid = pair(*view.runs, view)
    assert laid is not None
    told = on_grid(laid, 0.5, 80)
    assert np.isnan(told[31:35]).sum() >= 3
    assert np.isfinite(told[:29]).all()
    assert np.isnan(told[68:]).all()


def test_a_slow_stretch_stands_where_it_is_in_the_run_s_own_time() -> None:
    view = seen((run("1", scene_take(1, slower=window(12, 16, 0.3))), run("2", scene_take(2))))
    laid = pair(*view.runs, view)
    assert laid is not None
    told = on_grid(laid, 0.5, 79)
    assert told[25:31].min() > 0.25
    assert np.nanmax(np.abs(np.delete(told, range(23, 33)))) < 0.05
