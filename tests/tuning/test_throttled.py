"""A clock that falls in a log, with how warm the part was by then."""

from __future__ import annotations

import numpy as np

from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog
from evenhand.tuning.throttled import throttled

TIME = np.arange(0.0, 200.0)
FALLS_S = 120.0


def sensors(*, falls: bool = True, heat: bool = True) -> SensorLog:
    clock = np.where((TIME >= FALLS_S) & falls, 4400.0, 4900.0)
    channels = [
        Channel(role=Role.CLOCK, about="processor", unit="MHz", values=clock),
        Channel(role=Role.POWER, about="processor", unit="W", values=np.where(clock < 4900, 170.0, 210.0)),
    ]
    if heat:
        warm = np.minimum(60 + 0.3 * TIME, 95.0)
        channels.append(Channel(role=Role.TEMPERATURE, about="processor", unit="°C", values=warm))
    return SensorLog(time_s=TIME, channels=tuple(channels))


def test_the_fall_is_told_with_heat_and_power_just_before_it() -> None:
    found = throttled(sensors())
    assert found is not None
    assert (found.fall.begins_s, found.fall.from_mhz, found.fall.to_mhz) == (FALLS_S, 4900.0, 4400.0)
    assert found.temperature_c is not None
    assert 93.0 < found.temperature_c <= 95.0
    assert found.watts == 210.0


def test_what_was_not_read_is_not_told() -> None:
    found = throttled(sensors(heat=False))
    assert found is not None
    assert found.temperature_c is None


def test_a_clock_that_stays_and_no_log_tell_none() -> None:
    assert throttled(sensors(falls=False)) is None
    assert throttled(None) is None
