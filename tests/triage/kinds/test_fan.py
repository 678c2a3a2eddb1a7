"""A fan that stops while its part grows warmer."""

from __future__ import annotations

import re

import numpy as np
import pytest
from tests.triage.cells import judge, kinds, only, plain
from tests.triage.sensed import from_second, machine, sensed_cell

from evenhand.records.faults import Severity

WARMING = from_second(60, 66.0, 78.0)


@pytest.mark.parametrize("after", [0.0, 300.0, 550.0])
def test_a_fan_that_stops_is_found_by_its_own_run_alone(after: float) -> None:
    fan = from_second(60, 1500.0, after)
    fault = only(judge(sensed_cell(machine(1, fan=fan, temperature=WARMING)))["1"], "fan-failure")
    assert fault.severity is Severity.IN_DOUBT
    assert fault.places[0].from_s == pytest.approx(60, abs=3)
    assert plain(fault.evidence).startswith("From ")
    assert "graphics fan fell from 1,498 rpm to" in plain(fault.evidence)
    assert "unplug it" in fault.todo


def test_a_fan_that_slows_while_its_part_cools_does_so_by_right() -> None:
    log = machine(1, fan=from_second(60, 1500.0, 400.0), temperature=from_second(60, 66.0, 50.0))
    assert "fan-failure" not in kinds(judge(sensed_cell(log))["1"])


def test_a_fan_that_never_turned_may_be_one_that_rests() -> None:
    log = machine(1, fan=0.0, temperature=WARMING)
    assert "fan-failure" not in kinds(judge(sensed_cell(log))["1"])


def test_one_missed_reading_is_no_stop() -> None:
    fan = np.where(np.arange(120) == 60, 0.0, 1500.0)
    assert "fan-failure" not in kinds(judge(sensed_cell(machine(1, fan=fan, temperature=WARMING)))["1"])


def test_readings_of_a_fan_that_are_no_numbers_do_no_harm() -> None:
    log = machine(1, fan=np.full(120, np.nan), temperature=WARMING)
    assert "fan-failure" not in kinds(judge(sensed_cell(log))["1"])


def test_the_stop_is_told_from_the_reading_at_which_the_fan_fell() -> None:
    fan = from_second(60, 1500.0, 0.0)
    fault = only(judge(sensed_cell(machine(1, fan=fan, temperature=WARMING)))["1"], "fan-failure")
    assert fault.places[0].from_s == 60.0
    assert plain(fault.evidence).startswith("From 60.0 s")


def test_the_warming_is_told_beside_that_of_siblings_whose_fan_turned() -> None:
    fan, warming = from_second(60, 1500.0, 0.0), from_second(60, 60.0, 70.0)
    logs = machine(1, fan=fan, temperature=WARMING), *(machine(i, temperature=warming) for i in (2, 3))
    told = plain(only(judge(sensed_cell(*logs))["1"], "fan-failure").evidence)
    assert re.search(r"its part grew 1[23] °C warmer, where its siblings grow by 1[01] °C\.$", told)


def test_a_fan_that_reads_a_little_less_than_nothing_reads_nothing() -> None:
    log = machine(1, fan=from_second(60, 1500.0, -0.3), temperature=WARMING)
    told = plain(only(judge(sensed_cell(log))["1"], "fan-failure").evidence)
    assert re.search(r"fell from 1,\d+ rpm to 0 rpm", told)
