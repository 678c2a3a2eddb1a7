"""Levels are energies: taken away as such, averaged with a reason, and their errors grow on the way."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from evenhand.stats.decibels import (
    LEAST_EXCESS_DB,
    energy_mean,
    error_growth,
    levels_alone,
    most_it_can_be,
    subtract,
    times_as_loud,
)

levels = st.floats(15.0, 90.0)
excesses = st.floats(0.05, 40.0)


def add(one: float, other: float) -> float:
    """The sum of two incoherent sounds, from first principles."""
    return 10 * math.log10(10 ** (one / 10) + 10 ** (other / 10))


@pytest.mark.parametrize(
    ("total", "background", "alone"),
    # By hand: 10·lg(10^9.3 − 10^8.9) = 10·lg(1.20093·10^9); 3.0103 dB above is as loud again; 10·lg(90000).
    [(93.0, 89.0, 90.7952), (40.0 + 10 * math.log10(2), 40.0, 40.0), (50.0, 40.0, 49.5424)],
)
def test_a_source_is_what_is_left_of_the_energy(total, background, alone):
    assert subtract(total, background) == pytest.approx(alone, abs=5e-4)


@given(levels, levels)
def test_what_was_added_can_be_taken_away(source, background):
    total = add(source, background)
    if total - background > 0.01:
        assert subtract(total, background) == pytest.approx(source, abs=1e-6)


@pytest.mark.parametrize(("total", "background"), [(40.0, 40.0), (39.0, 40.0), (math.nan, 40.0)])
def test_nothing_is_left_where_the_total_does_not_lie_above(total, background):
    with pytest.raises(ValueError, match="does not lie above"):
        subtract(total, background)


@given(levels, excesses)
def test_an_error_of_the_total_grows_as_the_slope_says(background, excess):
    step = 1e-5
    slope = (
        subtract(background + excess + step, background) - subtract(background + excess, background)
    ) / step
    assert error_growth(excess) == pytest.approx(slope, rel=1e-3)


def test_at_three_decibels_an_error_comes_out_doubled():
    assert error_growth(LEAST_EXCESS_DB) == pytest.approx(2.0, abs=0.01)


@given(levels, st.floats(0.0, 6.0), st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
def test_no_error_within_bounds_makes_the_source_louder_than_the_most(background, excess, off, other):
    """Whatever the true total and background within half a decibel of what was read."""
    most = most_it_can_be(background + excess, background, reading_error_db=0.5)
    true_total, true_background = background + excess + off, background + other
    if true_total > true_background:
        assert subtract(true_total, true_background) <= most + 1e-9


def test_without_a_background_a_source_is_no_louder_than_the_total():
    assert most_it_can_be(36.0, None, reading_error_db=0.5) == 36.5


@given(st.lists(levels, min_size=1, max_size=6))
def test_the_mean_energy_lies_at_or_above_the_mean_level(readings):
    assert float(np.mean(readings)) - 1e-9 <= energy_mean(readings) <= max(readings) + 1e-9


def test_both_means_differ_by_what_the_docstring_says():
    readings = np.random.default_rng(7).normal(40.0, 0.5, 200_000)
    assert energy_mean(readings) - readings.mean() == pytest.approx(math.log(10) / 20 * 0.25, abs=1e-3)


def test_repeated_readings_keep_the_level_of_their_means():
    totals, backgrounds = [38.2, 38.9, 38.5], [31.0, 31.4, 30.9]
    alone = levels_alone(totals, backgrounds)
    assert alone.mean() == pytest.approx(subtract(float(np.mean(totals)), float(np.mean(backgrounds))))


@given(st.floats(4.0, 30.0), st.lists(st.floats(-0.02, 0.02), min_size=3, max_size=5))
def test_close_readings_scatter_as_they_would_one_by_one(excess, moves):
    totals = [30.0 + excess + move for move in moves]
    one_by_one = [subtract(total, 30.0) for total in totals]
    assert levels_alone(totals, [30.0] * len(totals)) == pytest.approx(one_by_one, abs=1e-3)


def test_ten_decibels_are_about_twice_as_loud():
    assert [times_as_loud(db) for db in (-10.0, 0.0, 10.0, 20.0)] == [0.5, 1.0, 2.0, 4.0]
