"""Which channel sits on which part, and when a logger died."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.sensed import channel, machine

from evenhand.metrics.alignment import Alignment, How
from evenhand.records.layouts import Role
from evenhand.traces.trace import SensorLog
from evenhand.triage.limits.sensors import ReadingsLimits
from evenhand.triage.sensing import (
    beside,
    frozen_from,
    in_role,
    joined,
    living,
    same_place,
    smoothed,
    stretches_of,
    widest_hole,
)

LIMITS = ReadingsLimits()
ONES = np.ones(3)


def dead_from(second: int) -> SensorLog:
    """A machine whose logger repeats its last readings."""
    log = machine(1)
    held = tuple(
        replace(c, values=np.where(log.time_s < second, c.values, c.values[second])) for c in log.channels
    )
    return replace(log, channels=held)


@pytest.mark.parametrize("second", [30, 60, 95])
def test_readings_that_all_stop_changing_show_a_dead_logger(second: int) -> None:
    log = dead_from(second)
    assert frozen_from(log, LIMITS) == second
    live = living(log, LIMITS)
    assert live is not None
    assert live.time_s[-1] == second
    assert all(c.values.size == second + 1 for c in live.channels)


def test_a_few_equal_readings_at_the_end_are_none() -> None:
    assert frozen_from(dead_from(112), LIMITS) is None


def test_readings_that_seldom_change_may_rest() -> None:
    calm = np.repeat([66.0, 67.0, 66.0], 40)
    log = SensorLog(time_s=np.arange(120.0), channels=(channel(Role.TEMPERATURE, calm),))
    assert frozen_from(log, LIMITS) is None
    assert living(log, LIMITS) is log


def test_one_channel_that_rests_is_no_dead_logger() -> None:
    log = machine(1)
    still = replace(log, channels=(*log.channels[:1], channel(Role.FAN, np.full(120, 1500.0))))
    assert frozen_from(still, LIMITS) is None


def test_use_that_climbs_to_a_ceiling_is_no_dead_logger() -> None:
    climbs = np.minimum(6000 + 30.0 * np.arange(120), 8000.0)
    log = SensorLog(time_s=np.arange(120.0), channels=(channel(Role.MEMORY, climbs),))
    assert frozen_from(log, LIMITS) is None


@pytest.mark.parametrize("readings", [0, 1, 2])
def test_hardly_any_readings_do_no_harm(readings: int) -> None:
    log = SensorLog(time_s=np.arange(float(readings)), channels=(channel(Role.LOAD, np.ones(readings)),))
    assert frozen_from(log, LIMITS) is None


def test_nothing_is_alive_without_readings() -> None:
    assert living(None, LIMITS) is None
    assert living(SensorLog(time_s=np.empty(0), channels=()), LIMITS) is None


def test_the_channel_beside_another_is_the_one_on_the_same_part() -> None:
    clock = channel(Role.CLOCK, ONES, "graphics core")
    loads = [channel(Role.LOAD, ONES, "processor"), channel(Role.LOAD, ONES, "graphics")]
    assert beside(clock, Role.LOAD, loads) is loads[1]
    assert beside(clock, Role.LOAD, loads[:1]) is None
    assert beside(channel(Role.CLOCK, ONES, ""), Role.LOAD, loads[:1]) is loads[0]


def test_the_same_place_in_another_log_has_the_same_words_and_unit() -> None:
    log = machine(1)
    power = in_role(log, Role.POWER)[0]
    assert same_place(power, machine(2)) is not None
    assert same_place(replace(power, about="processor"), machine(2)) is None
    assert same_place(replace(power, unit="mW"), machine(2)) is None
    assert same_place(power, None) is None


def test_means_of_neighbours_and_stretches() -> None:
    assert smoothed(np.array([1.0, 2.0, 3.0]), 2).tolist() == [1.5, 2.5]
    assert smoothed(ONES, 4).size == 0
    flags = np.array([False, True, True, False, True])
    assert list(stretches_of(flags, np.arange(5.0))) == [(1.0, 3.0), (4.0, 4.0)]


def test_channels_of_which_none_ever_moves_are_dead_from_the_start() -> None:
    log = machine(1)
    dead = replace(log, channels=tuple(replace(c, values=np.full(120, c.values[0])) for c in log.channels))
    assert frozen_from(dead, LIMITS) == 0.0
    assert living(dead, LIMITS) is None


def test_one_or_two_channels_may_stand_still() -> None:
    still = (channel(Role.CLOCK, np.full(120, 2600.0)), channel(Role.LOAD, np.full(120, 100.0)))
    assert frozen_from(SensorLog(time_s=np.arange(120.0), channels=still), LIMITS) is None


def test_the_widest_hole_is_the_longest_time_without_a_reading() -> None:
    log = SensorLog(time_s=np.array([0.0, 1.0, 2.0, 37.0, 38.0]), channels=())
    assert widest_hole(log) == (2.0, 37.0)
    assert widest_hole(SensorLog(time_s=np.empty(0), channels=())) == (0.0, 0.0)


def test_where_a_run_was_found_is_told_with_both_zone_and_rest() -> None:
    told = joined(Alignment(offset_s=20.0, how=How.EDGES, score=0.9, moved_s=7211.0)).replace("\u00a0", " ")
    assert told.endswith("the two clocks live 2 h apart, and besides 11.0 s earlier.")
    assert joined(Alignment(offset_s=0.0, how=How.WHOLE)).startswith("Nothing tells where")
    assert joined(Alignment(offset_s=3.0, how=How.STATED, moved_s=0.0)).endswith("told by the times of day.")
