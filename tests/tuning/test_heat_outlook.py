"""What a network says of a room, a power and a cooler, held against the part that made the log."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from tests.tuning.heated import CASE, COOLER, ROOM, log_of

from evenhand.records.trials import Limit, Quantity, Tuned
from evenhand.tuning.heat_outlook import HeatAsked, outlook
from evenhand.tuning.network_fit import fit_network

LIMIT = Limit(quantity=Quantity.TEMPERATURE, most=95.0, source="data sheet", read_on=date(2031, 5, 2))
PART = Tuned(
    setup="wren", part="processor", stock_clock_mhz=4400.0, stock_voltage_mv=1175.0, clock_step_mhz=50.0,
    voltage_step_mv=5.0, hottest_room_c=30.0, limits=(LIMIT,),
)  # fmt: skip
WHOLE = COOLER.c_per_w + CASE.c_per_w
FIT = fit_network(log_of(COOLER, CASE))
UNREAD = fit_network(log_of(COOLER, CASE, room=None))


def test_unasked_it_tells_of_the_hottest_room_and_the_load_of_the_log() -> None:
    found = outlook(FIT, PART, HeatAsked())
    assert (found.room_c, found.watts, found.rest_w) == (30.0, 200.0, 25.0)
    assert found.steady.value == pytest.approx(30.0 + 200.0 * WHOLE, abs=0.5)
    assert found.headroom is not None
    assert found.headroom.value == pytest.approx(95.0 - found.steady.value)
    assert found.headroom.low <= found.headroom.value <= found.headroom.high


def test_without_a_hottest_room_it_is_that_of_the_log() -> None:
    assert outlook(FIT, replace(PART, hottest_room_c=None), HeatAsked()).room_c == ROOM


def test_the_power_and_the_room_at_the_limit_lead_there() -> None:
    found = outlook(FIT, PART, HeatAsked())
    assert found.at_limit_w is not None
    assert found.at_limit_room_c is not None
    assert found.at_limit_w.value == pytest.approx((95.0 - 30.0) / WHOLE, rel=0.02)
    assert found.at_limit_room_c.value == pytest.approx(95.0 - 200.0 * WHOLE, abs=0.5)
    there = outlook(FIT, PART, HeatAsked(watts=found.at_limit_w.value))
    assert there.steady.value == pytest.approx(95.0)


def test_a_power_past_the_limit_says_when_it_is_reached_and_one_below_that_it_is_not() -> None:
    hot = outlook(FIT, PART, HeatAsked(watts=260.0))
    assert hot.headroom is not None
    assert hot.headroom.high < 0
    assert hot.reached_s is not None
    rise = np.linspace(0, 3600, 100_000)
    truth = 30.0 + sum(
        each.c_per_w * (260.0 + (25.0 - 260.0) * np.exp(-rise / each.seconds)) for each in (COOLER, CASE)
    )
    assert hot.reached_s.value == pytest.approx(rise[int(np.argmax(truth >= 95.0))], rel=0.05)
    assert outlook(FIT, PART, HeatAsked(watts=100.0)).reached_s is None


def test_another_cooler_takes_the_place_of_this_one_s_stage_with_its_doubt() -> None:
    found = outlook(FIT, PART, HeatAsked(cooler_c_per_w=0.15, cooler_off=0.02)).under
    assert found is not None
    assert found.c_per_w.value == pytest.approx(0.15 + CASE.c_per_w, abs=0.01)
    assert found.c_per_w.sd >= 0.02
    assert found.steady.value == pytest.approx(30.0 + 200.0 * found.c_per_w.value)
    assert found.headroom is not None
    assert found.headroom.high - found.headroom.low >= 2 * 1.96 * 200.0 * 0.02


def test_without_a_limit_nothing_is_said_of_what_is_left() -> None:
    found = outlook(FIT, replace(PART, limits=()), HeatAsked(watts=400.0))
    assert (found.headroom, found.at_limit_w, found.at_limit_room_c, found.reached_s) == (None,) * 4


def test_without_the_log_s_room_no_other_room_and_no_other_cooler_is_told_of() -> None:
    found = outlook(UNREAD, PART, HeatAsked(room_c=35.0, cooler_c_per_w=0.1))
    assert found.room_c is None
    assert found.steady.value == pytest.approx(ROOM + 200.0 * WHOLE, abs=1.5), "that of its own room"
    assert found.no_room is not None
    assert found.no_cooler is not None
    assert found.under is None


def test_one_stage_tells_of_no_other_cooler() -> None:
    found = outlook(fit_network(log_of(COOLER)), PART, HeatAsked(cooler_c_per_w=0.1))
    assert found.no_cooler is not None
    assert "one stage" in found.no_cooler.found


def test_a_log_that_never_rested_begins_cold() -> None:
    steady = fit_network(log_of(COOLER, loads=((1.0, 200.0),)))
    found = outlook(steady, PART, HeatAsked())
    assert found.rest_w == 0.0


def test_a_cooler_that_by_its_doubt_may_have_no_resistance_is_told_of_no_further() -> None:
    found = outlook(FIT, PART, HeatAsked(cooler_c_per_w=0.05, cooler_off=0.05))
    assert found.under is None
    assert found.no_cooler is not None
    assert found.no_cooler.found == (
        "a cooler of 0.05 ± 0.05 °C/W may have none or less, by the doubt that is given"
    )
