"""What a log cannot tell is said beside what it does."""

from __future__ import annotations

import numpy as np
import pytest
from tests.tuning.heated import CASE, COOLER, ROOM, log_of, truth

from evenhand.tuning.heat_doubts import Doubt, doubts, held
from evenhand.tuning.heat_log import heat_log
from evenhand.tuning.network import Stage
from evenhand.tuning.network_fit import fit_network


def test_a_good_log_leaves_none() -> None:
    assert doubts(fit_network(log_of(COOLER, minutes=40))) == ()


def test_how_long_it_was_held_and_how_long_it_should_have_been() -> None:
    fit = fit_network(log_of(COOLER, minutes=40))
    assert held(fit).longest_s == pytest.approx(0.45 * 2400, abs=10)
    assert held(fit).needed_s == pytest.approx(300.0, rel=0.05)
    assert held(fit).enough


def test_a_log_whose_slow_stage_had_no_time_says_so() -> None:
    found = doubts(fit_network(log_of(COOLER, CASE, minutes=30)))
    assert Doubt.TOO_SHORT in found
    assert Doubt.NOT_HELD in doubts(fit_network(log_of(COOLER, CASE, minutes=60)))


def test_a_room_that_nobody_wrote_down() -> None:
    assert Doubt.ROOM_UNKNOWN in doubts(fit_network(log_of(COOLER, room=None)))


def test_a_power_that_never_changed() -> None:
    log = log_of(COOLER, minutes=20, loads=((1.0, 120.0),))
    assert Doubt.POWER_CONSTANT in doubts(fit_network(log))


def test_a_log_that_only_cools() -> None:
    log = log_of(COOLER, minutes=20, loads=((0.001, 180.0), (1.0, 15.0)))
    assert Doubt.ONLY_FALLS in doubts(fit_network(log))


def test_gaps_of_either_kind() -> None:
    log = log_of(COOLER, minutes=40)
    for begin, end, doubt in ((500, 700, Doubt.GAP_CARRIED), (1200, 1500, Doubt.GAP_BEGUN_ANEW)):
        kept = (log.time_s < begin) | (log.time_s > end)
        fit = fit_network(heat_log(log.time_s[kept], log.temperature_c[kept], log.watts[kept], ROOM))
        assert doubt in doubts(fit)


@pytest.mark.parametrize(("gaps", "left_out"), [(7, 0), (9, 2)])
def test_stretches_beyond_the_eight_longest_are_left_out_and_said_to_be(gaps: int, left_out: int) -> None:
    log = log_of(
        COOLER, minutes=60, step_s=6.0, loads=tuple(((n + 1) / 12, (30.0, 180.0)[n % 2]) for n in range(12))
    )
    turns = [300.0 * (n + 1) for n in range(gaps)]  # where the watts change, so that none is carried over
    kept = np.all([(log.time_s < at - 20) | (log.time_s > at + 20) for at in turns], axis=0)
    fit = fit_network(heat_log(log.time_s[kept], log.temperature_c[kept], log.watts[kept], ROOM))
    assert (fit.log.stretches, fit.log.left_out) == (8, left_out)
    assert (Doubt.STRETCHES_LEFT_OUT in doubts(fit)) == bool(left_out)


def test_a_stage_as_quick_as_the_rows() -> None:
    log = log_of(Stage(c_per_w=0.2, seconds=0.8), minutes=20)
    assert Doubt.QUICKER_THAN_ROWS in doubts(fit_network(log))


def test_a_fan() -> None:
    fit = fit_network(log_of(COOLER, minutes=40))
    levels = np.r_[np.zeros(600, int), np.ones(600, int)]
    assert Doubt.FAN_CHANGED in doubts(fit, fan=levels)
    assert Doubt.FAN_WANDERED in doubts(fit, wandered=True)


@pytest.mark.parametrize("kind", ["stands still", "is of something else"])
def test_a_temperature_that_does_not_follow_the_power(kind: str) -> None:
    log = log_of(COOLER, minutes=40)
    still, other = np.full(log.time_s.size, 40.0), np.random.default_rng(1).normal(50, 5, log.time_s.size)
    read = still if kind == "stands still" else np.round(other)
    assert Doubt.UNRELATED in doubts(fit_network(heat_log(log.time_s, read, log.watts, ROOM)))


def test_something_else_that_warms_it() -> None:
    log = log_of(COOLER, minutes=40)
    swing = 4 * np.sign(np.sin(log.time_s / 45))
    read = truth(log.time_s, log.watts, (COOLER,)) + swing
    found = doubts(fit_network(heat_log(log.time_s, np.round(read), log.watts, ROOM)))
    assert Doubt.LEFT_OVER in found
