"""What a run's own sensors say to its having grown slower."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import judge, only, plain
from tests.triage.scenes import Floats, scene_take, takes_beside

from evenhand.records.faults import Fault
from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog

AT_S = np.arange(0, 40, 0.5)
UNITS = {Role.CLOCK: "MHz", Role.LOAD: "%", Role.TEMPERATURE: "°C", Role.POWER: "W"}


def wander(level: Floats | float, step: float) -> Floats:
    return level + step * np.random.default_rng(2).integers(-1, 2, AT_S.size)


def log(*channels: tuple[Role, str, Floats]) -> SensorLog:
    return SensorLog(
        time_s=AT_S,
        channels=tuple(Channel(role=r, about=a, unit=UNITS[r], values=v) for r, a, v in channels),
    )


def part(about: str, mhz: Floats | float, load: float = 97.0) -> list[tuple[Role, str, Floats]]:
    return [(Role.CLOCK, about, wander(mhz, 7.0)), (Role.LOAD, about, wander(load, 1.0))]


def sag_with(sensors: SensorLog | None, size: float = 0.09, n: int = 4) -> Fault:
    first, *others = takes_beside(
        scene_take(1, slower=lambda at_s: size * ((at_s / 40 - 0.3) / 0.4).clip(0, 1)), n
    )
    return only(judge((replace(first, sensors=sensors), *others))["1"], "slow-sag")


def test_a_clock_that_held_is_named_with_its_figures_and_is_not_heat_of_that_part() -> None:
    fault = sag_with(log(*part("graphics", 1980.0)))
    assert "Its graphics clock held at 1,980 MHz (±0.4 %) at 97 % load: not heat of that part" in plain(
        fault.evidence
    )
    assert "what else was at work" in fault.todo
    assert "Log the clock of the other part, too." in fault.todo
    assert fault.numbers["clock_1_mhz"] == pytest.approx(1980, abs=1)
    assert fault.numbers["clock_1_within"] == pytest.approx(7 / 1980, abs=0.001)


def test_where_both_parts_held_it_is_not_heat() -> None:
    fault = sag_with(log(*part("graphics", 1980.0), *part("processor", 4700.0)))
    assert "not heat of these parts" in plain(fault.evidence)
    assert "processor clock held at 4,700 MHz" in plain(fault.evidence)
    assert "Log " not in fault.todo
    assert not fault.behaviour


def test_a_clock_that_falls_by_less_than_throttling_may_be_a_part_of_it() -> None:
    falls = np.where(AT_S < 26, 1980.0, 1980.0 * 0.982)
    fault = sag_with(log(*part("graphics", falls)), size=0.05)
    assert "% at 97 % load: heat, or a limit of power, may be a part" in plain(fault.evidence)
    assert fault.behaviour


@pytest.mark.parametrize(("last_c", "words"), [(71.0, "rose from 62 °C to 71 °C"), (62.0, "stayed at 62 °C")])
def test_where_only_temperature_is_logged_what_it_did_is_said(last_c: float, words: str) -> None:
    heat = np.interp(AT_S, [10, 30], [62.0, last_c])
    fault = sag_with(log((Role.TEMPERATURE, "graphics", heat)))
    assert f"graphics temperature {words}; no clock at load is on record" in plain(fault.evidence)
    assert fault.todo.startswith("Log the clocks and power beside the temperature")


def test_a_clock_of_a_part_that_was_not_at_load_says_nothing() -> None:
    assert "may be heat" in plain(sag_with(log(*part("graphics", 1980.0, load=20.0))).evidence)


def test_readings_that_end_before_the_run_does_say_nothing() -> None:
    clock = np.where(AT_S < 24, wander(1980.0, 7.0), np.nan)
    load = np.where(AT_S < 24, wander(97.0, 1.0), np.nan)
    fault = sag_with(log((Role.CLOCK, "graphics", clock), (Role.LOAD, "graphics", load)))
    assert "may be heat" in plain(fault.evidence)
    assert fault.todo.startswith("Log clocks, temperature and power")


def test_without_sensors_a_log_is_asked_for() -> None:
    assert sag_with(None).todo.startswith("Log clocks, temperature and power")


def test_of_two_runs_a_third_is_asked_for_whatever_the_clocks_did() -> None:
    fault = sag_with(log(*part("graphics", 1980.0)), n=2)
    assert "clock held at 1,980 MHz" in plain(fault.evidence)
    assert fault.todo.startswith("Record a third run")
