"""Where the voltage of the next trial goes up by more than a step, by how much is told; upward alone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from evenhand.records.trials import Limit, Outcome, Quantity, Trial, Tuned
from evenhand.tuning.planning import NextTrial
from evenhand.tuning.rising import Rise, rise_of
from evenhand.tuning.walk import Map, Purpose, next_point

LIMIT = Limit(quantity=Quantity.VOLTAGE, most=1325.0, source="data sheet", read_on=date(2031, 5, 2))
PART = Tuned(
    setup="a", part="processor", stock_clock_mhz=4400.0, stock_voltage_mv=1175.0, clock_step_mhz=50.0,
    voltage_step_mv=5.0, limits=(LIMIT,),
)  # fmt: skip
HELD = Trial(
    setup="a", part="processor", clock_mhz=4400.0, voltage_mv=1150.0, load="integers", hours=0.2,
    outcome=Outcome.PASSED,
)  # fmt: skip


def coming(voltage_mv: float, purpose: Purpose = Purpose.HIGHER_CLOCK) -> NextTrial:
    return NextTrial(clock_mhz=4450.0, voltage_mv=voltage_mv, hours=1 / 6, purpose=purpose)


@pytest.mark.parametrize(
    ("voltage_mv", "told"),
    [
        (1120.0, None),
        (1175.0, None),
        (1180.0, None),
        (1185.0, Rise(by_mv=10.0, steps=2)),
        (1205.0, Rise(by_mv=30.0, steps=6)),
    ],
)
def test_it_is_held_against_stock_and_the_highest_that_was_tried(
    voltage_mv: float, told: Rise | None
) -> None:
    assert rise_of(coming(voltage_mv), PART, [HELD]) == told
    assert rise_of(coming(voltage_mv), PART, [HELD, replace(HELD, voltage_mv=1205.0)]) is None


def test_of_offsets_stock_is_none_and_a_voltage_that_is_left_alone_rises_nowhere() -> None:
    offset = replace(PART, offset=True)
    assert rise_of(coming(20.0), offset, []) == Rise(by_mv=20.0, steps=4)
    assert rise_of(coming(0.0), replace(PART, voltage_step_mv=0.0), []) is None


def test_a_step_that_firmware_rounds_is_one_step() -> None:
    uneven = replace(PART, voltage_step_mv=6.25)
    assert rise_of(coming(1181.3), uneven, []) is None
    assert rise_of(coming(1187.5), uneven, []) == Rise(by_mv=12.5, steps=2)


def test_the_walk_goes_up_by_more_than_a_step_only_in_voltage() -> None:
    grid = Map(
        clocks_mhz=(4400.0, 4450.0, 4500.0), voltages_mv=tuple(1175.0 + 5 * n for n in range(31)),
        start=(0, 0), slope=0.5,
    )  # fmt: skip
    found = next_point(grid, {(0, 0): True})
    assert found is not None
    clock, voltage = found.point
    assert (clock, found.purpose) == (1, Purpose.HIGHER_CLOCK)
    trial = coming(grid.voltages_mv[voltage])
    assert rise_of(trial, PART, [replace(HELD, voltage_mv=1175.0)]) == Rise(by_mv=30.0, steps=6)
