"""Which power of a log is its load and which its rest."""

from __future__ import annotations

import numpy as np
import pytest
from tests.tuning.heated import CASE, COOLER, log_of

from evenhand.tuning.heat_load import SHORTEST_S, holds, load_of, rest_of
from evenhand.tuning.heat_log import heat_log


def test_every_power_that_was_held_is_found_with_its_seconds() -> None:
    found = holds(log_of(COOLER, CASE))
    assert [each.watts for each in found] == [25.0, 200.0, 110.0, 25.0]
    assert [each.seconds for each in found] == pytest.approx([360, 1620, 900, 718], abs=10)


def test_the_load_is_the_highest_that_was_held_for_a_minute_and_the_rest_the_lowest() -> None:
    log = log_of(COOLER, CASE)
    assert load_of(log).watts == 200.0
    assert rest_of(log).watts == 25.0


def test_a_peak_of_seconds_is_no_load() -> None:
    time = np.arange(0.0, 600.0)
    watts = np.where((time > 300) & (time < 300 + SHORTEST_S / 3), 400.0, 90.0)
    log = heat_log(time, np.full(600, 50.0), watts)
    assert load_of(log).watts == 90.0


def test_where_nothing_was_held_for_a_minute_the_longest_is_told() -> None:
    time = np.arange(0.0, 200.0)
    watts = np.repeat([40.0, 150.0, 60.0, 200.0], 50)
    log = heat_log(time, np.full(200, 50.0), watts)
    assert load_of(log).seconds < SHORTEST_S
    assert load_of(log).watts in watts
