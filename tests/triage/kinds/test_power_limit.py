"""A part that draws less than in all siblings, at a ceiling of its own, and is slower for it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from tests.triage.cells import cell, judge, kinds, only, plain, run, take
from tests.triage.sensed import machine, sensed_cell

from evenhand.records.faults import Severity
from evenhand.traces.trace import SensorLog

LOW = {"power": 176.0, "clock": 2480.0}


def test_a_lower_limit_is_found_with_what_it_costs() -> None:
    found = judge(sensed_cell(machine(1, **LOW), machine(20), machine(40), machine(60)))
    fault = only(found["1"], "power-limit")
    assert fault.severity is Severity.IN_DOUBT
    assert plain(fault.evidence).startswith("The graphics drew 17")
    assert "its clock −4." in plain(fault.evidence)
    assert "within the maker's limits" in fault.todo
    assert 0.77 < fault.numbers["power_over_siblings"] < 0.83
    assert not any("power-limit" in kinds(found[i]) for i in "234")


def test_a_part_that_draws_less_and_is_not_slower_saves_by_right() -> None:
    found = judge(sensed_cell(machine(1, power=176.0), machine(20), machine(40)))
    assert "power-limit" not in kinds(found["1"])


def test_a_lower_rate_shows_it_where_no_clock_is_logged() -> None:
    def without_clock(log: SensorLog) -> SensorLog:
        return replace(log, channels=tuple(c for c in log.channels if c.role != "clock"))

    slow = run("1", take(1) * 1.03)
    runs = [replace(slow, sensors=without_clock(machine(1, power=176.0)))]
    runs += [replace(r, sensors=without_clock(machine(20 * i))) for i, r in enumerate(cell(4)[1:], start=1)]
    assert "power-limit" in kinds(judge(runs)["1"])


def test_one_sibling_cannot_say_whose_limit_is_odd() -> None:
    found = judge(sensed_cell(machine(1, **LOW), machine(20)))
    assert "power-limit" not in kinds(found["1"]) | kinds(found["2"])


def test_power_that_wanders_with_the_scene_is_no_ceiling() -> None:
    wandering = 176.0 * (1 + 0.2 * np.sin(np.arange(120) / 5))
    found = judge(sensed_cell(machine(1, power=wandering, clock=2480.0), machine(20), machine(40)))
    assert "power-limit" not in kinds(found["1"])


def test_siblings_that_scatter_widely_hold_nobody() -> None:
    logs = [machine(20 * i, power=w) for i, w in enumerate((190.0, 205.0, 240.0, 225.0))]
    found = judge(sensed_cell(machine(1, power=180.0, clock=2480.0), *logs))
    assert "power-limit" not in kinds(found["1"])
