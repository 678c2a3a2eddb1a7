"""How far a clock may go in a room and under a cooler, held against a part whose power is stated."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from tests.tuning.heated import CASE, COOLER, log_of

from evenhand.demo import trials as planted
from evenhand.desk.tuning.elastic import Elasticity
from evenhand.desk.tuning.heat import HeatNow
from evenhand.desk.tuning.heat_answers import clock_answer
from evenhand.desk.tuning.heat_clocks import ClockAllowed, NoClock, allowed_said, clock_allowed
from evenhand.desk.tuning.series import Series
from evenhand.desk.tuning.standing import tuning_now
from evenhand.records.heat import HeatColumns, LoggedHeat
from evenhand.records.trials import Meter
from evenhand.tuning.advice import Withheld
from evenhand.tuning.bands import Known
from evenhand.tuning.heat_outlook import HeatAsked, outlook
from evenhand.tuning.network_fit import fit_network

STANDING = tuning_now(Series(tuned=planted.TUNED, load=planted.LOAD, trials=planted.trials()))
LOG = LoggedHeat(
    setup=planted.TUNED.setup, part="processor", log="", layout="", columns=HeatColumns(temperature="c")
)
HEAT = HeatNow(tuned=planted.TUNED, heat=LOG, fit=fit_network(log_of(COOLER, CASE)))
WHOLE = COOLER.c_per_w + CASE.c_per_w
MEASURED = Elasticity(known=Known(value=0.6, sd=0.05), tests=("regatta", "render"))


def allowed(room_c: float, *, elasticity: Elasticity = MEASURED, **asked: float) -> ClockAllowed | NoClock:
    assert HEAT.fit is not None
    found = outlook(HEAT.fit, planted.TUNED, HeatAsked(room_c=room_c, **asked))
    return clock_allowed(STANDING, HEAT, found, elasticity)


def truth(room_c: float, c_per_w: float) -> float:
    """The highest clock whose steady temperature is 95 °C at most, with the stated power, in MHz."""
    advised = [(each.clock_mhz, each.voltage_mv) for each in STANDING.advice if each.voltage_mv is not None]
    best = 0.0
    for clock in np.arange(advised[0][0], advised[-1][0] + 1):
        volts = float(np.interp(clock, *zip(*advised, strict=True)))
        warm = room_c
        for _ in range(200):
            warm = room_c + c_per_w * planted.DRAWS.watts(clock, volts, warm)
        best = clock if warm <= 95 else best
    return best


@pytest.mark.parametrize("room_c", [52.0, 54.0, 56.0])
def test_the_clock_that_the_limit_allows_is_that_of_the_stated_part_within_its_band(room_c: float) -> None:
    found = allowed(room_c)
    assert isinstance(found, ClockAllowed)
    assert found.clock_mhz is not None
    assert not found.at_top
    assert found.clock_mhz.low <= truth(room_c, WHOLE) <= found.clock_mhz.high


def test_in_a_cool_room_heat_holds_nothing_back_and_the_rate_is_that_of_the_highest_clock() -> None:
    found = allowed(25.0)
    assert isinstance(found, ClockAllowed)
    assert found.at_top
    assert found.clock_mhz is not None
    assert found.rate is not None
    ratio = found.clock_mhz.value / planted.TUNED.stock_clock_mhz
    assert found.rate.value == pytest.approx(ratio**0.6)
    assert found.rate.low < found.rate.value < found.rate.high


@pytest.mark.parametrize(("room_c", "at_top"), [(25.0, True), (54.0, False)])
def test_programs_are_told_the_same_as_json(room_c: float, at_top: bool) -> None:
    told = json.loads(json.dumps(clock_answer(allowed(room_c)), allow_nan=False))
    assert told["at_top"] is at_top
    assert told["clock_mhz"]["low"] <= told["clock_mhz"]["value"]


def test_a_better_cooler_allows_more_and_in_an_oven_nothing_is_allowed() -> None:
    hot, cooled = allowed(54.0), allowed(54.0, cooler_c_per_w=0.1, cooler_off=0.005)
    assert isinstance(hot, ClockAllowed)
    assert isinstance(cooled, ClockAllowed)
    assert hot.clock_mhz is not None
    assert cooled.clock_mhz is not None
    assert cooled.clock_mhz.value > hot.clock_mhz.value
    assert cooled.under
    oven = allowed(60.0, cooler_c_per_w=0.6)
    assert isinstance(oven, ClockAllowed)
    assert (oven.clock_mhz, oven.rate) == (None, None)
    assert "not even 4,500\u00a0MHz" in " ".join(allowed_said(oven))


def test_without_limit_room_watts_or_clocks_it_says_which_is_lacking() -> None:
    assert HEAT.fit is not None
    found = outlook(HEAT.fit, planted.TUNED, HeatAsked())
    assert clock_allowed(STANDING, HEAT, replace(found, limit=None)) is NoClock.NO_LIMIT
    assert clock_allowed(STANDING, HEAT, replace(found, room_c=None)) is NoClock.NO_ROOM
    wall = replace(HEAT, heat=replace(LOG, watts_at=Meter.WALL))
    assert clock_allowed(STANDING, wall, found) is NoClock.NO_WATTS, "two meters tell of two things"
    assert clock_allowed(replace(STANDING, advice=()), HEAT, found) is NoClock.ONE_CLOCK
    assert list(allowed_said(NoClock.NO_LIMIT)) == [
        "How far the clock may go is not told: no limit of its temperature by the maker is noted."
    ]


def test_a_clock_that_heat_allows_and_the_advice_holds_back_is_named_with_why() -> None:
    assert HEAT.fit is not None
    room = STANDING.goal.room_c
    found = outlook(HEAT.fit, planted.TUNED, HeatAsked(room_c=room))
    last = STANDING.advice[-1]
    hot = replace(last, voltage_mv=None, withheld=Withheld.TOO_HOT_BY_LOG)
    told = clock_allowed(replace(STANDING, advice=(*STANDING.advice[:-1], hot)), HEAT, found)
    assert isinstance(told, ClockAllowed)
    assert told.held_back == (last.clock_mhz,)
    assert f"Of these nothing is advised at {last.clock_mhz:,.0f}\u00a0MHz" in " ".join(allowed_said(told))
    assert clock_answer(told)["words"] == list(allowed_said(told))
    without = clock_allowed(STANDING, HEAT, found)
    assert isinstance(without, ClockAllowed)
    assert without.held_back == ()


def test_where_no_test_tells_the_rate_is_only_bounded() -> None:
    said = " ".join(allowed_said(allowed(25.0, elasticity=Elasticity(known=Known(value=1.0)))))
    assert "at most" in said
    assert "in two tests" in " ".join(allowed_said(allowed(25.0)))


def test_in_a_hotter_room_than_voltages_are_advised_for_it_says_so() -> None:
    assert planted.TUNED.hottest_room_c == 30.0
    said = "none of these clocks is advised"
    assert said in " ".join(allowed_said(allowed(30.5)))
    assert said not in " ".join(allowed_said(allowed(30.0)))
    assert clock_answer(allowed(45.0))["advised_c"] == 30.0


def test_the_rate_that_is_bounded_is_that_of_the_clock_that_is_told() -> None:
    found = allowed(54.0, elasticity=Elasticity(known=Known(value=1.0)))
    assert isinstance(found, ClockAllowed)
    assert found.clock_mhz is not None
    most = 100 * (found.clock_mhz.value / planted.TUNED.stock_clock_mhz - 1)
    assert f"at most +{most:.1f}\u00a0% of rate, and at the highest" in " ".join(allowed_said(found))
