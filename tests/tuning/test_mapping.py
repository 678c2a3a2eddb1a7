"""The map of a part: steps of its firmware from stock, up to what its maker allows and no further."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from evenhand.records.trials import Limit, Outcome, Quantity, Trial, Tuned
from evenhand.tuning.mapping import (
    CLOCK_STEPS,
    NoMap,
    between_steps,
    is_past,
    map_of,
    no_map,
    own_limit,
    within,
)

MOST = Limit(quantity=Quantity.VOLTAGE, most=1322.0, source="data sheet", read_on=date(2031, 5, 2))
FASTEST = Limit(quantity=Quantity.CLOCK, most=4520.0, source="data sheet", read_on=date(2031, 5, 2))
PART = Tuned(
    setup="a", part="processor", stock_clock_mhz=4400.0, stock_voltage_mv=1175.0, clock_step_mhz=50.0,
    voltage_step_mv=5.0, limits=(MOST,),
)  # fmt: skip


def trial(clock: float, voltage: float, outcome: Outcome = Outcome.PASSED) -> Trial:
    return Trial(
        setup="a", part="processor", clock_mhz=clock, voltage_mv=voltage, load="integers", hours=0.2,
        outcome=outcome,
    )  # fmt: skip


def test_stock_is_on_the_map_and_its_top_is_the_last_step_within_the_limit() -> None:
    grid = map_of(PART, [])
    clock, voltage = grid.start
    assert (grid.clocks_mhz[clock], grid.voltages_mv[voltage]) == (4400.0, 1175.0)
    assert grid.voltages_mv[-1] == 1320.0
    assert grid.clocks_mhz[-1] == 4400.0 + 50 * CLOCK_STEPS


def test_a_limit_of_the_clock_ends_the_map_and_what_was_tried_widens_it() -> None:
    limited = replace(PART, limits=(MOST, FASTEST))
    assert map_of(limited, [trial(4350.0, 900.0)]).clocks_mhz == (4350.0, 4400.0, 4450.0, 4500.0)
    assert map_of(PART, [trial(4400.0, 700.0)]).voltages_mv[0] <= 700.0


def test_of_offsets_the_limit_is_less_stock_and_stock_is_nothing() -> None:
    part = replace(PART, offset=True)
    own = own_limit(part)
    assert own is not None
    assert own.most == 147.0
    grid = map_of(part, [])
    assert (grid.voltages_mv[grid.start[1]], grid.voltages_mv[-1]) == (0.0, 145.0)


@pytest.mark.parametrize(
    ("part", "why"),
    [
        (replace(PART, limits=()), NoMap.NO_LIMIT),
        (replace(PART, limits=(FASTEST,)), NoMap.NO_LIMIT),
        (replace(PART, offset=True, stock_voltage_mv=None), NoMap.NO_LIMIT),
        (replace(PART, stock_voltage_mv=None), NoMap.NO_STOCK),
        (replace(PART, stock_voltage_mv=1330.0), NoMap.BELOW_STOCK),
        (replace(PART, voltage_step_mv=1e-5), NoMap.TOO_FINE),
        (replace(PART, voltage_step_mv=5e-324), NoMap.TOO_FINE),
        (replace(PART, clock_step_mhz=1e-4, limits=(MOST, FASTEST)), NoMap.TOO_FINE),
        (replace(PART, voltage_step_mv=0.5), None),
        (PART, None),
    ],
)
def test_without_a_limit_or_stock_there_is_no_map(part: Tuned, why: NoMap | None) -> None:
    assert no_map(part) is why
    if why is not None:
        with pytest.raises(ValueError, match="no map"):
            map_of(part, [])


def test_what_was_tried_widens_no_map_past_all_bounds() -> None:
    fine = replace(PART, voltage_step_mv=0.5, clock_step_mhz=0.5)
    assert no_map(fine, [trial(4401.0, 1175.0)]) is None
    assert no_map(fine, [trial(4401.0, 1175.0), trial(60_000.0, 1175.0)]) is NoMap.TOO_FINE
    assert not between_steps(trial(4401.0, 1180.0), replace(fine, voltage_step_mv=5e-324))


def test_past_a_limit_a_pass_tells_nothing_and_a_failure_at_more_voltage_does() -> None:
    limited = replace(PART, limits=(MOST, FASTEST))
    held, failed = trial(4450.0, 1330.0), trial(4450.0, 1330.0, Outcome.CRASH)
    fast, fine = trial(4550.0, 1300.0, Outcome.CRASH), trial(4450.0, 1300.0)
    assert within([held, failed, fast, fine], limited) == (failed, fine)
    assert [is_past(each, limited) for each in (held, failed, fast, fine)] == [True, True, True, False]
