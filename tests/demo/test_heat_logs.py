"""The temperature log of the example's processor: of a network stated in advance, below the maker's limit."""

from __future__ import annotations

import numpy as np
import pytest

from evenhand.demo import heat_logs as made
from evenhand.demo.trials import TUNED, trials, warmest_c
from evenhand.records.trials import Quantity
from evenhand.tuning.heat_log import heat_log
from evenhand.tuning.heat_trials import steady_trials, warmer_by
from evenhand.tuning.network_fit import fit_network

ROWS = [[float(cell) for cell in line.split(",")] for line in made.heat_file(25).decode().splitlines()[1:]]


def test_the_same_seed_makes_the_same_log() -> None:
    assert made.heat_file(3) == made.heat_file(3)
    assert made.heat_file(3) != made.heat_file(4)


def test_it_rests_loads_halves_and_rests_again_with_the_room_beside_it() -> None:
    seconds, _, watts, room, fan, clock = np.array(ROWS).T
    assert (np.diff(seconds) == made.STEP_S).all()
    begins = [0.0, *(end for end, _ in made.PARTS[:-1])]
    half = made.REST_W + 0.5 * (made.LOAD_W - made.REST_W)
    for begin, (end, share), expected in zip(
        begins, made.PARTS, (made.REST_W, made.LOAD_W, half, made.REST_W), strict=True
    ):
        within = (seconds >= begin) & (seconds < end)
        assert abs(watts[within].mean() / expected - 1) < 0.01
        assert (clock[within] > 4000).all() == (share > 0)
    assert np.abs(room - made.ROOM_C).max() < 0.5
    assert np.ptp(fan) <= 20


def test_the_part_stays_below_its_maker_s_limit_as_it_did_in_the_trials() -> None:
    limit = TUNED.limit(Quantity.TEMPERATURE)
    assert limit is not None
    hottest = max(row[1] for row in ROWS)
    assert hottest < limit.most
    settles = made.ROOM_C + made.LOAD_W * sum(stage.c_per_w for stage in made.NETWORK)
    assert abs(hottest - settles) < 3


def test_the_power_is_held_for_three_times_the_slowest_time_constant() -> None:
    begin, end = made.PARTS[0][0], made.PARTS[1][0]
    assert end - begin >= 3 * made.NETWORK[-1].seconds


def test_trials_at_its_point_that_grew_steady_read_what_its_network_says() -> None:
    seconds, warm, watts, room, *_ = np.array(ROWS).T
    fit = fit_network(heat_log(seconds, warm, watts, room))
    own = steady_trials(fit, made.HEAT, trials())
    assert {each.hours for each in own} == {8.0}
    assert warmer_by(fit, made.HEAT, trials()) == pytest.approx(0.0, abs=1.0)


def test_ten_minutes_are_not_steady_and_eight_hours_are() -> None:
    ends = {hours: warmest_c(4650.0, 1245.0, 24.0, hours) for hours in (1 / 6, 8.0, 80.0)}
    assert ends[1 / 6] < ends[8.0] - 5
    assert ends[8.0] == pytest.approx(ends[80.0], abs=0.01)
