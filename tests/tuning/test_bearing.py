"""The maker's limits of temperature and power bear on every point by what was read there and beside it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from tests.tuning import test_clock_alone as by_clock
from tests.tuning.test_planning import GOAL, GRID, LIMIT, WALKED

from evenhand.records.trials import Limit, Meter, Outcome, Quantity, Trial, Tuned
from evenhand.tuning.advice import Withheld, past_of
from evenhand.tuning.bearing import Bearing, Settling, bearing_of
from evenhand.tuning.clock_plan import clock_standing
from evenhand.tuning.planning import Standing, standing

DAY = date(2031, 5, 2)
HEAT = Limit(quantity=Quantity.TEMPERATURE, most=80.0, source="data sheet", read_on=DAY)
POWER = Limit(quantity=Quantity.POWER, most=100.0, source="data sheet", read_on=DAY)
PART = Tuned(
    setup="a", part="processor", stock_clock_mhz=5000.0, stock_voltage_mv=1050.0, clock_step_mhz=50.0,
    voltage_step_mv=5.0, hottest_room_c=30.0, limits=(LIMIT, HEAT, POWER),
)  # fmt: skip
READ = Trial(
    setup="a", part="processor", clock_mhz=5000.0, voltage_mv=1050.0, load="integers", hours=1 / 6,
    outcome=Outcome.PASSED, room_c=24.0, hottest_c=74.0, watts=100.0, watts_at=Meter.PART,
)  # fmt: skip


def bearing(*trials: Trial, settling: Settling | None = None) -> Bearing:
    return bearing_of(PART, trials, hottest_c=30.0, room_c=24.0, settling=settling)


def test_a_reading_counts_as_warm_as_it_would_be_in_the_hottest_room() -> None:
    assert bearing(READ).past(5000.0, 1050.0) is None
    assert bearing(replace(READ, hottest_c=74.5)).past(5000.0, 1050.0) is Quantity.TEMPERATURE
    assert bearing(replace(READ, room_c=None, hottest_c=74.5)).past(5000.0, 1050.0) is Quantity.TEMPERATURE
    assert bearing(replace(READ, room_c=30.0, hottest_c=79.0)).past(5000.0, 1050.0) is None


def test_watts_count_where_they_were_read_at_the_part() -> None:
    more = replace(READ, watts=101.0)
    assert bearing(more).past(5000.0, 1050.0) is Quantity.POWER
    assert bearing(replace(more, watts_at=Meter.WALL)).past(5000.0, 1050.0) is None


def test_past_a_limit_at_one_point_bars_every_point_of_more_clock_and_voltage() -> None:
    found = bearing(replace(READ, hottest_c=75.0, hours=0.01, outcome=Outcome.CRASH))
    for point in ((5000.0, 1050.0), (5050.0, 1050.0), (5000.0, 1080.0)):
        assert found.barred(*point) is Quantity.TEMPERATURE
        assert found.past(*point) is Quantity.TEMPERATURE
    assert found.barred(5000.0, 1045.0) is None
    assert found.barred(4950.0, 1100.0) is None


def test_where_nothing_was_read_the_nearest_point_beyond_stands_for_it() -> None:
    near = replace(READ, voltage_mv=1060.0, hottest_c=75.0)
    far = replace(READ, voltage_mv=1100.0, hottest_c=70.0)
    assert bearing(near, far).past(5000.0, 1050.0) is Quantity.TEMPERATURE
    assert bearing(near, far).barred(5000.0, 1050.0) is None, "a trial there would tell"
    assert bearing(replace(near, hottest_c=73.0), replace(far, hottest_c=90.0)).past(5000.0, 1050.0) is None


def test_what_nobody_read_for_long_is_not_checked_and_not_passed() -> None:
    both = (Quantity.TEMPERATURE, Quantity.POWER)
    assert bearing().unchecked(5000.0, 1050.0) == both
    assert bearing(READ).unchecked(5000.0, 1050.0) == ()
    assert bearing(READ).unchecked(5000.0, 1055.0) == both, "an easier point says nothing of a harder one"
    assert bearing(replace(READ, hours=0.01)).unchecked(5000.0, 1050.0) == both
    mixed_up = replace(READ, hottest_c=20.0)  # in a room of 24 °C
    assert bearing(mixed_up).unchecked(5000.0, 1050.0) == (Quantity.TEMPERATURE,)


def test_a_temperature_log_tells_how_warm_watts_make_it_at_last() -> None:
    log = Settling(c_per_w=0.51, meter=Meter.PART)  # 30 °C and 51 K more
    assert bearing(READ, settling=log).past(5000.0, 1050.0) is Quantity.TEMPERATURE
    assert bearing(READ, settling=replace(log, c_per_w=0.5)).past(5000.0, 1050.0) is None
    assert bearing(READ, settling=replace(log, meter=Meter.WALL)).past(5000.0, 1050.0) is None


def test_what_is_past_by_the_log_alone_is_withheld_for_the_log_and_for_no_reading() -> None:
    log = Settling(c_per_w=0.51, meter=Meter.PART)
    assert past_of(bearing(READ, settling=log), 5000.0, 1050.0) is Withheld.TOO_HOT_BY_LOG
    assert past_of(bearing(replace(READ, hottest_c=74.5), settling=log), 5000.0, 1050.0) is Withheld.TOO_HOT
    assert past_of(bearing(READ), 5000.0, 1050.0) is None


def test_without_such_a_limit_all_is_within() -> None:
    free = replace(PART, limits=(LIMIT,))
    hot = replace(READ, hottest_c=120.0, watts=900.0)
    assert bearing_of(free, [hot], hottest_c=30.0, room_c=24.0) == Bearing()


def read(trial: Trial) -> Trial:
    """A trial of the walk with watts by the square of its voltage: 92 W at stock."""
    watts = 92.0 * trial.clock_mhz / 5000 * (trial.voltage_mv / 1050) ** 2
    return replace(trial, watts=watts, watts_at=Meter.PART)


def told(trials: list[Trial], most_w: float) -> Standing:
    part = replace(PART, limits=(LIMIT, replace(POWER, most=most_w)))
    found = bearing_of(part, trials, hottest_c=24.0, room_c=24.0)
    return standing(GRID, trials, GOAL, LIMIT, 24.0, found)


def test_the_wanted_clock_is_the_highest_within_all_limits() -> None:
    walked = [read(each) for each in WALKED]
    free = told(walked, 500.0).advice
    assert free is not None
    assert (free.clock_mhz, free.withheld) == (5050.0, None)
    assert free.voltage_mv is not None
    soak = read(replace(WALKED[0], clock_mhz=5050.0, voltage_mv=free.voltage_mv))
    lower = read(replace(WALKED[0], voltage_mv=free.voltage_mv - 5))
    assert soak.watts is not None
    found = told([*walked, soak, lower], soak.watts - 0.5)
    assert found.advice is not None
    assert (found.advice.clock_mhz, found.advice.withheld) == (5000.0, None)


def test_where_no_clock_stays_within_nothing_is_advised_and_the_reason_is_told() -> None:
    found = told([read(each) for each in WALKED], 60.0)
    assert found.advice is not None
    assert (found.advice.voltage_mv, found.advice.withheld) == (None, Withheld.TOO_MUCH_POWER)
    assert found.advice.meant_mv is not None


@pytest.mark.parametrize("many", range(1, len(WALKED) + 1))
def test_no_trial_goes_where_a_limit_was_passed_at_an_easier_point(many: int) -> None:
    walked = [read(each) for each in WALKED[:many]]
    found = told(walked, 90.0)
    if found.next is not None:
        passed = [each for each in walked if each.watts is not None and each.watts > 90.0]
        assert not any(
            each.clock_mhz <= found.next.clock_mhz and each.voltage_mv <= found.next.voltage_mv
            for each in passed
        )


def test_a_walk_that_would_go_past_a_limit_ends_and_says_by_which() -> None:
    hot = read(WALKED[12])  # the first trial of the second clock drew 88.5 W
    found = told([*map(read, WALKED[:12]), hot], 88.0)
    assert found.barred is None, "a lower voltage of that clock is still to be tried"
    failed = read(replace(WALKED[12], outcome=Outcome.CRASH, hours=0.1))
    found = told([*map(read, WALKED[:12]), failed], 88.0)
    assert found.barred is Quantity.POWER


def test_a_clock_alone_steps_down_to_where_the_limits_are_kept() -> None:
    def at(clock: float) -> float:
        return 10.0 * clock / 2800

    trials = [
        replace(each, watts=at(each.clock_mhz), watts_at=Meter.PART)
        for each in [*by_clock.WALKED, *(by_clock.trial(3100, hours=8.0) for _ in range(3))]
    ]
    part = replace(by_clock.PART, limits=(by_clock.MOST, replace(POWER, most=at(2900))))
    free = clock_standing(by_clock.GRID, trials, by_clock.GOAL, by_clock.MOST, 24.0).advice
    assert free is not None
    assert free.clock_mhz > 2900.0
    for most, clock, why in ((2900, 2900.0, None), (2790, None, Withheld.TOO_MUCH_POWER)):
        part = replace(part, limits=(by_clock.MOST, replace(POWER, most=at(most))))
        found = bearing_of(part, trials, hottest_c=30.0, room_c=24.0)
        now = clock_standing(by_clock.GRID, trials, by_clock.GOAL, by_clock.MOST, 24.0, found)
        assert now.advice is not None
        assert now.advice.withheld is why
        assert clock is None or now.advice.clock_mhz == clock
        assert now.next is None or at(now.next.clock_mhz) <= at(most)
