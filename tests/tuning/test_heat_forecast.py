"""How warm it gets elsewhere: held against what the part then does."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest
from tests.tuning.heated import CASE, COOLER, ROOM, log_of, seconds, truth, watts

from evenhand.errors import NotEnoughRuns
from evenhand.records.trials import Limit, Quantity
from evenhand.tuning.bands import Known
from evenhand.tuning.heat_forecast import (
    difference,
    headroom,
    onward,
    other_cooler,
    planned,
    sink_stage,
    steady,
    steady_under,
)
from evenhand.tuning.heat_log import heat_log
from evenhand.tuning.network import Stage
from evenhand.tuning.network_fit import Fit, fit_network
from evenhand.tuning.onset import power_at, reached_after, room_at

WARMEST = Limit(
    quantity=Quantity.TEMPERATURE, most=95.0, source="the part's data sheet", read_on=date(2026, 11, 1)
)


@pytest.fixture(scope="module")
def fit() -> Fit:
    return fit_network(log_of(COOLER, CASE))


@pytest.fixture(scope="module")
def roomless() -> Fit:
    return fit_network(log_of(COOLER, CASE, room=None))


def test_steady_is_the_room_and_degrees_per_watt(fit: Fit) -> None:
    told = steady(fit, 150.0, Known(value=30.0))
    assert told.low < 30 + 150 * 0.37 < told.high
    assert told.half < 1.0


def test_a_warmer_room_is_passed_on_one_for_one_with_its_own_doubt(fit: Fit) -> None:
    cool, warm = steady(fit, 150.0, Known(value=20.0)), steady(fit, 150.0, Known(value=28.0, sd=1.0))
    assert warm.value - cool.value == pytest.approx(8.0)
    assert warm.half > 1.9


def test_without_a_room_only_the_same_room_and_differences_are_told(roomless: Fit) -> None:
    told = steady(roomless, 150.0)
    assert told.low < ROOM + 150 * 0.37 < told.high
    assert difference(roomless, 100.0, 150.0).value == pytest.approx(50 * 0.37, rel=0.05)
    for asked in (
        lambda: steady(roomless, 150.0, Known(value=24.0)),
        lambda: room_at(roomless, 95.0, 150.0),
        lambda: power_at(roomless, 95.0, Known(value=24.0)),
    ):
        with pytest.raises(NotEnoughRuns, match="the room of the log is not on record") as told_error:
            asked()
        assert "write down the room's temperature" in told_error.value.todo


def test_headroom_is_counted_from_the_makers_limit_and_none_is_told_without(fit: Fit) -> None:
    told = headroom(fit, 150.0, WARMEST, Known(value=24.0))
    assert told is not None
    assert told.by_c.low < 95 - 24 - 150 * 0.37 < told.by_c.high
    assert told.limit.source == "the part's data sheet"
    assert headroom(fit, 150.0, None, Known(value=24.0)) is None


def test_a_forecast_of_the_rest_of_a_log_lies_within_two_degrees() -> None:
    whole = log_of(COOLER, CASE, minutes=60, loads=((0.05, 25.0), (0.6, 200.0), (0.8, 90.0), (1.0, 160.0)))
    seen = fit_network(whole.only(whole.time_s < 0.75 * 3600))
    told = onward(seen, whole)
    was = truth(whole.time_s, whole.watts, (COOLER, CASE))
    assert np.abs(told.temperature_c - was).max() < 2.0
    assert ((told.low_c <= was) & (was <= told.high_c)).mean() > 0.9


def test_a_plan_in_another_room_lies_within_two_degrees(fit: Fit) -> None:
    time = seconds(40)
    drawn = watts(time, ((0.2, 60.0), (0.6, 220.0), (1.0, 140.0)))
    told = planned(fit, heat_log(time, np.zeros(time.size), drawn), Known(value=31.0), from_w=60.0)
    was = truth(time, drawn, (COOLER, CASE), room=31.0)
    assert np.abs(told.temperature_c - was).max() < 2.0
    assert (told.high_c - told.low_c).max() < 3.0


def test_another_cooler_takes_the_place_of_the_stage_of_minutes(fit: Fit) -> None:
    assert sink_stage(fit) == 0
    whole = other_cooler(fit, Known(value=0.15, sd=0.01))
    assert whole.value == pytest.approx(0.15 + 0.12, rel=0.03)
    told = steady_under(whole, 200.0, Known(value=ROOM))
    assert told.low < ROOM + 200 * 0.27 < told.high
    assert told.half > 1.96 * 200 * 0.01


def test_with_one_stage_the_cooler_cannot_be_told_apart() -> None:
    with pytest.raises(NotEnoughRuns, match="the log shows one stage"):
        other_cooler(fit_network(log_of(COOLER, minutes=30)), Known(value=0.15))


def test_a_cooler_of_minutes_behind_a_chip_of_seconds_is_the_slow_stage() -> None:
    chip = Stage(c_per_w=0.1, seconds=6.0)
    assert sink_stage(fit_network(log_of(chip, COOLER))) == 1


def test_the_power_and_the_room_at_which_a_limit_is_reached(fit: Fit) -> None:
    power = power_at(fit, 95.0, Known(value=25.0))
    assert power.low < 70 / 0.37 < power.high
    room = room_at(fit, 95.0, 180.0)
    assert room.low < 95 - 180 * 0.37 < room.high


def test_when_a_limit_is_reached(fit: Fit) -> None:
    time = seconds(60, 1.0)
    was = truth(time, np.r_[25.0, np.full(time.size - 1, 220.0)], (COOLER, CASE), room=30.0)
    told = reached_after(fit, 95.0, 220.0, Known(value=30.0), from_w=25.0)
    assert told is not None
    assert told.low < time[np.argmax(was >= 95.0)] < told.high
    assert told.half < 120


def test_a_limit_out_of_reach_is_never_reached_and_one_already_passed_at_once(fit: Fit) -> None:
    assert reached_after(fit, 95.0, 100.0, Known(value=22.0)) is None
    told = reached_after(fit, 20.0, 100.0, Known(value=22.0))
    assert told is not None
    assert told.value == 0.0


def test_a_limit_within_the_band_may_never_be_reached(fit: Fit) -> None:
    told = reached_after(fit, 22 + 150 * fit.whole().value + 0.05, 150.0, Known(value=22.0))
    assert told is not None
    assert told.low < np.inf
    assert told.high == np.inf
