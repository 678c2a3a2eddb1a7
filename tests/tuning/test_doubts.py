"""Every doubt about trials is told where it holds, and nowhere else."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from evenhand.records.trials import Limit, Meter, Outcome, Quantity, Trial, Tuned
from evenhand.tuning.advice import Withheld
from evenhand.tuning.doubts import Doubt, doubts_of

DAY = date(2031, 5, 2)
VOLTAGE = Limit(quantity=Quantity.VOLTAGE, most=1325.0, source="data sheet", read_on=DAY)
HEAT = Limit(quantity=Quantity.TEMPERATURE, most=95.0, source="data sheet", read_on=DAY)
CLOCK = Limit(quantity=Quantity.CLOCK, most=5000.0, source="data sheet", read_on=DAY)
POWER = Limit(quantity=Quantity.POWER, most=150.0, source="data sheet", read_on=DAY)
PART = Tuned(
    setup="a", part="processor", stock_clock_mhz=4400.0, stock_voltage_mv=1175.0, clock_step_mhz=50.0,
    voltage_step_mv=5.0, hottest_room_c=30.0, limits=(VOLTAGE, CLOCK, HEAT),
)  # fmt: skip
HELD = Trial(
    setup="a", part="processor", clock_mhz=4400.0, voltage_mv=1175.0, load="integers", hours=0.2,
    outcome=Outcome.PASSED, room_c=24.0, hottest_c=95.0,
)  # fmt: skip
FAILED = replace(HELD, voltage_mv=1120.0, outcome=Outcome.CRASH)


def told(part: Tuned, *trials: Trial, withheld: Withheld | None = None, out: bool = False) -> set[Doubt]:
    return set(doubts_of(part, trials, withheld=withheld, out_of_order=out))


def test_trials_that_held_and_failed_in_rooms_that_were_read_raise_no_doubt() -> None:
    assert told(PART, HELD, FAILED) == set()
    assert told(PART) == set()


@pytest.mark.parametrize(
    ("part", "trials", "doubt"),
    [
        (replace(PART, limits=(HEAT,)), (), Doubt.NO_LIMIT),
        (replace(PART, stock_voltage_mv=None), (), Doubt.NO_STOCK),
        (replace(PART, stock_clock_mhz=4400.0, stock_voltage_mv=1330.0), (), Doubt.BELOW_STOCK),
        (replace(PART, voltage_step_mv=1e-6), (), Doubt.TOO_FINE),
        (replace(PART, limits=(VOLTAGE, HEAT)), (), Doubt.CLOCK_UNLIMITED),
        (replace(PART, limits=(VOLTAGE, HEAT)), (HELD, FAILED), Doubt.CLOCK_UNLIMITED),
        (PART, (replace(HELD, voltage_mv=1330.0), FAILED), Doubt.PAST_LIMIT),
        (PART, (replace(HELD, hottest_c=95.5), FAILED), Doubt.TOO_HOT),
        (
            replace(PART, limits=(VOLTAGE, CLOCK, POWER)),
            (replace(HELD, watts=150.5, watts_at=Meter.PART), FAILED),
            Doubt.TOO_MUCH_POWER,
        ),
        (PART, (HELD,), Doubt.ONE_TRIAL),
        (PART, (HELD, HELD), Doubt.NEVER_FAILED),
        (PART, (FAILED, FAILED), Doubt.NEVER_HELD),
        (PART, (replace(HELD, clock_mhz=4433.0), FAILED), Doubt.BETWEEN_STEPS),
        (PART, (replace(HELD, voltage_mv=1177.0), FAILED), Doubt.BETWEEN_STEPS),
        (PART, (replace(HELD, hottest_c=20.0), FAILED), Doubt.UNDER_ROOM),
        (PART, (replace(HELD, room_c=None), FAILED), Doubt.ROOM_UNREAD),
        (replace(PART, hottest_room_c=None), (HELD, FAILED), Doubt.NO_HOTTEST_ROOM),
    ],
)  # fmt: skip
def test_each_is_told_alone(part: Tuned, trials: tuple[Trial, ...], doubt: Doubt) -> None:
    assert told(part, *trials) == {doubt}


def test_two_temperature_logs_that_differ_are_a_doubt_of_the_trials_too() -> None:
    found = doubts_of(PART, (HELD, FAILED), withheld=None, out_of_order=False, disputed=True)
    assert found == (Doubt.LOGS_DIFFER,)


def test_what_was_stopped_or_throttled_is_no_failure_and_counted_errors_are() -> None:
    stopped, errors = (
        replace(HELD, outcome=Outcome.STOPPED),
        replace(FAILED, outcome=Outcome.PASSED, errors=3),
    )
    assert told(PART, HELD, stopped) == {Doubt.NEVER_FAILED}
    assert told(PART, HELD, errors) == set()


def test_what_the_estimate_finds_is_told_too() -> None:
    assert told(PART, HELD, FAILED, withheld=Withheld.NOT_CURED, out=True) == {
        Doubt.NOT_CURED, Doubt.OUT_OF_ORDER,
    }  # fmt: skip


def test_the_gravest_stands_first() -> None:
    found = doubts_of(
        replace(PART, limits=()), [replace(HELD, room_c=None)], withheld=None, out_of_order=False
    )
    assert found == (Doubt.NO_LIMIT, Doubt.ONE_TRIAL, Doubt.ROOM_UNREAD)


@pytest.mark.parametrize(
    "failed", [replace(HELD, outcome=Outcome.CRASH), replace(HELD, clock_mhz=4300.0, errors=1)]
)
def test_what_fails_no_faster_than_stock_and_with_no_less_voltage_is_stock_that_fails(failed: Trial) -> None:
    assert told(PART, HELD, failed) == {Doubt.STOCK_FAILED}
    assert told(PART, HELD, replace(failed, voltage_mv=1170.0)) == set()


def test_of_offsets_stock_is_none_and_by_clock_alone_it_is_the_clock() -> None:
    offset, alone = (
        replace(PART, offset=True),
        replace(PART, part="memory", voltage_step_mv=0.0, stock_voltage_mv=None),
    )
    assert Doubt.STOCK_FAILED in told(offset, replace(FAILED, voltage_mv=0.0))
    assert Doubt.STOCK_FAILED not in told(offset, replace(FAILED, voltage_mv=-5.0))
    by_clock = replace(alone, limits=(CLOCK,))
    assert by_clock.clock_alone
    assert Doubt.STOCK_FAILED in told(by_clock, FAILED)
    assert Doubt.STOCK_FAILED not in told(by_clock, replace(FAILED, clock_mhz=4450.0))


def test_watts_at_the_wall_say_nothing_of_the_parts_own_limit() -> None:
    part = replace(PART, limits=(VOLTAGE, CLOCK, POWER))
    assert told(part, replace(HELD, watts=300.0, watts_at=Meter.WALL), FAILED) == set()


def test_limits_that_nothing_was_held_against_are_told_as_not_checked() -> None:
    both = (Quantity.TEMPERATURE, Quantity.POWER)
    found = doubts_of(PART, (HELD, FAILED), withheld=None, out_of_order=False, unchecked=both)
    assert found == (Doubt.HEAT_UNCHECKED, Doubt.POWER_UNCHECKED)
