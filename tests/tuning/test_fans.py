"""A fan's levels, and a network for each."""

from __future__ import annotations

import numpy as np
import pytest
from tests.tuning.heated import ROOM, log_of, seconds, truth, watts

from evenhand.errors import NotEnoughRuns
from evenhand.tuning.fans import by_fan, fan_levels, fit_by_fan
from evenhand.tuning.heat_log import heat_log
from evenhand.tuning.network import Stage


def test_a_fan_that_keeps_changing_has_no_levels() -> None:
    assert fan_levels(np.linspace(600, 2000, 300)) is None
    assert fan_levels([500, 800, 1100, 1400, 1700, 2000]) is None
    assert fan_levels([1200, np.nan, 1200]) is None


def test_a_fan_that_wobbles_has_one() -> None:
    assert set(fan_levels(1500 + 20 * np.sin(np.arange(100.0))).tolist()) == {0}


def test_each_level_has_its_own_network() -> None:
    time = seconds(40)
    slow, fast = Stage(c_per_w=0.4, seconds=120.0), Stage(c_per_w=0.25, seconds=80.0)
    drawn = np.tile(watts(time[: time.size // 2]), 2)
    half = time.size // 2
    read = np.r_[truth(time[:half], drawn[:half], (slow,)), truth(time[half:], drawn[half:], (fast,))]
    read = np.round(read + np.random.default_rng(1).normal(0, 0.5, time.size))
    levels = fan_levels(np.where(time < time[half], 900, 1800))
    assert levels is not None
    found = fit_by_fan(heat_log(time, read, drawn, ROOM), levels)
    assert {level: round(fit.whole().value, 2) for level, fit in found.items()} == {0: 0.4, 1: 0.25}
    assert found[0].seconds[0] == pytest.approx(120.0, rel=0.05)


def test_a_fan_that_comes_back_begins_a_new_stretch() -> None:
    log = log_of(Stage(c_per_w=0.3, seconds=90.0), minutes=10)
    levels = (log.time_s // 100).astype(int) % 2
    parts = by_fan(log, levels)
    assert {level: part.stretches for level, part in parts.items()} == {0: 3, 1: 3}


def test_levels_that_were_held_too_briefly_tell_nothing() -> None:
    for minutes in (3, 20):
        log = log_of(Stage(c_per_w=0.3, seconds=90.0), minutes=minutes, step_s=4.0)
        with pytest.raises(NotEnoughRuns, match="no level of the fan was held long enough"):
            fit_by_fan(log, np.arange(log.time_s.size) % 2)
