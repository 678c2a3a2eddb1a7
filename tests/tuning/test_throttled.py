"""A clock that falls in a log, with how warm the part was by then."""

from __future__ import annotations

import numpy as np
import pytest

from evenhand.records.layouts import Role
from evenhand.stats.spread import Floats
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


MINUTES = np.arange(0.0, 3000.0, 2.0)
"""Fifty minutes, a row every two seconds."""


def course(
    load: tuple[float, float], *, tau: float = 100.0, rest_mhz: float = 1200.0, rise_c: float = 55.0
) -> tuple[Floats, Floats]:
    """Clock and temperature of a part that rests but for a load from one second to another."""
    begin, end = load
    on = (begin <= MINUTES) & (end > MINUTES)
    warm = rise_c * (1 - np.exp(-np.clip(MINUTES - begin, 0, end - begin) / tau))
    warm *= np.exp(-np.clip(MINUTES - end, 0, None) / tau)
    noise = np.random.default_rng(4).normal(0, 0.6, MINUTES.size)
    return np.where(on, 4500.0, rest_mhz), np.round(30 + warm + noise)


def logged(clock: object, heat: object, watts: object = None) -> SensorLog:
    told = ((Role.CLOCK, "MHz", clock), (Role.TEMPERATURE, "°C", heat), (Role.POWER, "W", watts))
    return SensorLog(
        time_s=MINUTES,
        channels=tuple(
            Channel(role=role, about="part", unit=unit, values=np.asarray(values, float))
            for role, unit, values in told
            if values is not None
        ),
    )


@pytest.mark.parametrize("tau", [8.0, 100.0, 400.0])
@pytest.mark.parametrize("rest_mhz", [1200.0, 4200.0, 5000.0])
@pytest.mark.parametrize("load", [(600.0, 2400.0), (0.0, 1500.0), (600.0, 2970.0), (600.0, 1000.0)])
def test_without_watts_the_end_of_a_load_is_no_throttling(
    tau: float, rest_mhz: float, load: tuple[float, float]
) -> None:
    assert throttled(logged(*course(load, tau=tau, rest_mhz=rest_mhz))) is None


def test_without_watts_a_part_that_stays_warm_while_its_clock_falls_is_throttled() -> None:
    clock, heat = course((600.0, 2400.0))
    clock[(MINUTES >= 1600) & (MINUTES < 2400)] = 4000.0
    found = throttled(logged(clock, heat))
    assert found is not None
    assert found.fall.begins_s == pytest.approx(1600.0, abs=10.0)
    assert (found.fall.from_mhz, found.fall.to_mhz) == (4500.0, 4000.0)
    assert found.temperature_c == pytest.approx(85.0, abs=1.0)
    assert found.watts is None
    ends_hot = MINUTES < 2400
    hot = SensorLog(
        time_s=MINUTES[ends_hot],
        channels=tuple(
            Channel(role=each.role, about=each.about, unit=each.unit, values=each.values[ends_hot])
            for each in logged(clock, heat).channels
        ),
    )
    assert throttled(hot) == found, "whether the log goes on to the rest changes nothing"


def test_a_clock_alone_tells_nothing_of_its_load() -> None:
    assert throttled(logged(course((600.0, 2400.0))[0], None)) is None


@pytest.mark.parametrize("load", [(600.0, 2400.0), (2000.0, 2300.0), (600.0, 900.0)])
def test_with_watts_the_end_of_a_load_is_none_either_however_short_it_was(load: tuple[float, float]) -> None:
    clock, heat = course(load)
    watts = np.where(clock > 4000, 150.0, 20.0)
    assert throttled(logged(clock, heat, watts)) is None
    late = load[0] + 0.6 * (load[1] - load[0]) <= MINUTES
    slowed = np.where(late & (clock > 4000), 4100.0, clock)
    found = throttled(logged(slowed, heat, np.where(slowed == 4100.0, 132.0, watts)))
    if load[0] + 0.6 * (load[1] - load[0]) >= 0.25 * MINUTES[-1]:  # what comes before may be a boost
        assert found is not None
        assert (found.fall.from_mhz, found.fall.to_mhz) == (4500.0, 4100.0)
