"""A failure contradicts a harder point that held only where chance would seldom play so."""

from __future__ import annotations

import pytest

from evenhand.records.trials import Outcome, Trial
from evenhand.tuning.advice import Advice, Goal
from evenhand.tuning.out_of_order import contradictions, fails_beyond
from evenhand.tuning.walk import Map

GRID = Map(
    clocks_mhz=(4400.0, 4450.0), voltages_mv=(1090.0, 1095.0, 1100.0, 1105.0, 1110.0), start=(0, 4)
)  # fmt: skip


def held(voltage_mv: float, hours: float = 0.17, *, clock_mhz: float = 4400.0) -> Trial:
    return Trial(
        setup="a", part="processor", clock_mhz=clock_mhz, voltage_mv=voltage_mv, load="integers",
        hours=hours, outcome=Outcome.PASSED,
    )  # fmt: skip


def failed(voltage_mv: float, after_h: float, *, clock_mhz: float = 4400.0) -> Trial:
    return Trial(
        setup="a", part="processor", clock_mhz=clock_mhz, voltage_mv=voltage_mv, load="integers",
        hours=after_h, outcome=Outcome.CRASH,
    )  # fmt: skip


def test_a_failure_within_the_walk_above_what_held_is_one() -> None:
    assert contradictions(GRID, [failed(1100, 0.02), held(1095)]) == (((0, 2), (0, 1)),)
    higher = held(1095, clock_mhz=4450.0)
    assert contradictions(GRID, [failed(1100, 0.02), higher]) == (((0, 2), (1, 1)),)


def test_trials_in_order_are_none() -> None:
    assert contradictions(GRID, [held(1100), failed(1095, 0.1)]) == ()
    assert contradictions(GRID, [failed(1100, 0.02, clock_mhz=4450.0), held(1095)]) == ()


def test_what_failed_late_held_nothing_against_another() -> None:
    assert contradictions(GRID, [failed(1100, 0.1), failed(1095, 0.1), failed(1090, 0.17)]) == ()


@pytest.mark.parametrize(("hours", "found"), [(8.0, 0), (49.0, 0), (50.0, 1)])
def test_a_late_failure_is_held_against_ten_times_its_hours(hours: float, found: int) -> None:
    assert len(contradictions(GRID, [failed(1100, 5.0), held(1095, hours)])) == found


def test_shorter_than_the_walk_nothing_held() -> None:
    assert contradictions(GRID, [failed(1100, 0.001), held(1095, 0.1)]) == ()


ADVISED = Advice(clock_mhz=4400.0, goal=Goal(room_c=30.0, step_mv=5.0), voltage_mv=1100.0)


def test_what_asks_no_more_than_is_advised_and_fails_time_and_again_speaks_against_it() -> None:
    assert fails_beyond(ADVISED, [failed(1100, 3.0), failed(1110, 7.0), held(1095, 500.0)])


@pytest.mark.parametrize(
    "trials",
    [
        [failed(1105, 3.0)],  # one alone may be chance
        [failed(1095, 3.0), failed(1095, 3.0)],  # less voltage
        [failed(1105, 3.0, clock_mhz=4450.0), failed(1105, 3.0, clock_mhz=4450.0)],  # a higher clock
        [failed(1105, 3.0), failed(1105, 3.0), held(1105, 3000.0)],  # as seldom as the goal allows
        [],
    ],
)
def test_other_failures_do_not(trials: list[Trial]) -> None:
    assert not fails_beyond(ADVISED, trials)
