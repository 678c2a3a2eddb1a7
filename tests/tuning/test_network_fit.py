"""The network of a log: what it was made of is found, and how well is said."""

from __future__ import annotations

import numpy as np
import pytest
from tests.tuning.heated import CASE, COOLER, ROOM, log_of, seconds, truth, watts

from evenhand.errors import NotEnoughRuns
from evenhand.tuning.heat_log import HeatLog, heat_log
from evenhand.tuning.network import Stage
from evenhand.tuning.network_fit import Fit, fit_network


@pytest.fixture(scope="module")
def two() -> Fit:
    return fit_network(log_of(COOLER, CASE))


def test_two_stages_are_found_within_a_twentieth(two: Fit) -> None:
    assert two.stages == 2
    assert two.seconds == pytest.approx([100.0, 700.0], rel=0.05)
    assert two.c_per_w == pytest.approx([0.25, 0.12], rel=0.05)
    assert two.whole().value == pytest.approx(0.37, rel=0.01)


def test_bands_hold_what_it_was_and_are_no_wider_than_a_tenth(two: Fit) -> None:
    for band, was in zip(
        (*two.c_per_w_bands(), *two.seconds_bands(), two.whole()),
        (0.25, 0.12, 100.0, 700.0, 0.37),
        strict=True,
    ):
        assert band.low < was < band.high
        assert band.half < 0.1 * band.value


def test_a_part_with_one_stage_is_told_to_have_one() -> None:
    fit = fit_network(log_of(COOLER))
    assert fit.stages == 1
    assert (fit.seconds[0], fit.c_per_w[0]) == pytest.approx((100.0, 0.25), rel=0.02)


def test_what_is_left_over_is_what_the_sensor_scatters(two: Fit) -> None:
    assert two.spread_c == pytest.approx(np.hypot(0.7, 12**-0.5), rel=0.05)
    assert two.worth > 0.5 * two.log.read.sum()


def test_without_a_room_degrees_per_watt_are_the_same_within_their_bands() -> None:
    fit = fit_network(log_of(COOLER, CASE, room=None))
    assert fit.whole().low < 0.37 < fit.whole().high
    assert fit.values[-1] == pytest.approx(ROOM, abs=2.0)


def test_watts_that_never_changed_and_no_room_tell_nothing() -> None:
    with pytest.raises(NotEnoughRuns, match="cannot be told from a warmer room"):
        fit_network(log_of(COOLER, room=None, loads=((1.0, 120.0),)))


def test_next_to_no_watts_tell_nothing_either() -> None:
    with pytest.raises(NotEnoughRuns, match="next to nothing"):
        fit_network(log_of(COOLER, loads=((1.0, 0.0),)))


def test_of_many_stretches_the_longest_are_used() -> None:
    time = seconds(60)
    drawn = np.where(time // 90 % 2 == 0, 30.0, 170.0)
    read = np.round(truth(time, drawn, (COOLER,)) + np.random.default_rng(2).normal(0, 0.5, time.size))
    kept = (time % 90 > 8) & (time % 90 < 82)
    fit = fit_network(heat_log(time[kept], read[kept], drawn[kept], ROOM))
    assert fit.log.stretches == 8
    assert fit.whole().low < 0.25 < fit.whole().high


def test_watts_that_never_changed_are_one_stage_for_the_whole() -> None:
    time = seconds(20)
    drawn = np.full(time.size, 120.0)
    read = truth(time, np.r_[0.0, drawn[1:]], (COOLER,))
    fit = fit_network(heat_log(time, np.round(read), drawn, ROOM))
    assert fit.stages == 1
    assert fit.whole().value == pytest.approx(0.25, rel=0.02)


def test_a_log_that_only_cools_tells_its_time_constant() -> None:
    log = log_of(COOLER, minutes=20, loads=((0.02, 180.0), (1.0, 15.0)))
    assert fit_network(log).seconds[0] == pytest.approx(100.0, rel=0.05)


def gapped(log: HeatLog, begin_s: float, end_s: float) -> HeatLog:
    kept = (log.time_s < begin_s) | (log.time_s > end_s)
    return heat_log(log.time_s[kept], log.temperature_c[kept], log.watts[kept], ROOM)


def test_a_gap_over_which_the_power_stayed_changes_little() -> None:
    fit = fit_network(gapped(log_of(COOLER, CASE), 800.0, 1100.0))
    assert fit.log.carried == 1
    assert fit.whole().value == pytest.approx(0.37, rel=0.02)
    assert fit.seconds == pytest.approx([100.0, 700.0], rel=0.1)


def test_after_a_gap_in_which_the_power_changed_it_begins_anew() -> None:
    fit = fit_network(gapped(log_of(COOLER, CASE), 1800.0, 2300.0))
    assert fit.log.stretches == 2
    assert fit.whole().value == pytest.approx(0.37, rel=0.05)


def test_uneven_rows_are_as_good() -> None:
    time = np.cumsum(np.random.default_rng(3).uniform(0.5, 4.0, 1500))
    drawn = watts(time)
    read = np.round(truth(time, drawn, (COOLER, CASE)) + np.random.default_rng(4).normal(0, 0.7, 1500))
    fit = fit_network(heat_log(time, read, drawn, ROOM))
    assert fit.seconds == pytest.approx([100.0, 700.0], rel=0.06)
    assert fit.whole().value == pytest.approx(0.37, rel=0.01)


def test_a_second_stage_is_not_made_out_of_scatter() -> None:
    logs = [log_of(Stage(c_per_w=0.3, seconds=60.0 + 20 * k), minutes=20, seed=k) for k in range(12)]
    assert [fit_network(log).stages for log in logs] == [1] * 12


def test_the_best_is_no_worse_than_the_truth(two: Fit) -> None:
    was = truth(two.log.time_s, two.log.watts, (COOLER, CASE))
    left = two.log.temperature_c - was
    assert float(two.residuals @ two.residuals) <= float(left @ left)
