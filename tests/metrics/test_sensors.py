"""Sensor summaries: levels, time at the limit, lasting steps, each under a definition of its own."""

import numpy as np
import pytest

from evenhand.errors import NotFound
from evenhand.metrics.definitions import definition
from evenhand.metrics.sensors import summarise
from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog


def channel(values: object, role: Role = Role.CLOCK, unit: str = "MHz", about: str = "processor") -> Channel:
    return Channel(role=role, about=about, unit=unit, values=np.asarray(values, dtype=np.float64))


def log(*channels: Channel, every_s: float = 1.0) -> SensorLog:
    n = channels[0].values.size
    return SensorLog(time_s=np.arange(n) * every_s, channels=channels)


def throttling() -> np.ndarray:
    rng = np.random.default_rng(3)
    return np.r_[np.full(540, 4700.0), np.full(300, 4150.0)] + rng.choice([-25.0, 0.0, 25.0], 840)


def test_median_and_95th_percentile() -> None:
    told = summarise(log(channel(np.arange(101.0), Role.POWER, "W", "wall")))
    assert told["sensor:wall:power:median"] == 50
    assert told["sensor:wall:power:p95"] == pytest.approx(95)


def test_every_key_carries_a_definition_with_its_unit() -> None:
    told = summarise(
        log(
            channel(throttling()),
            channel(np.full(840, 88.0), Role.TEMPERATURE, "°C"),
            channel(np.full(840, 60.0), Role.FAN, "%", "front"),
            channel(np.full(840, 1.2), Role.VOLTAGE, "V", "core: first"),
        ),
        limits={(Role.TEMPERATURE, "processor"): 87.5},
    )
    defined = {key: definition(key) for key in told}
    assert all(d.key == key and not d.rankable for key, d in defined.items())
    assert defined["sensor:processor:clock:median"].unit == "MHz"
    assert defined["sensor:front:fan in %:p95"].unit == "%"
    assert defined["sensor:core: first:voltage:median"].label == "core: first voltage, median"
    assert "87.5 °C" in defined["sensor:processor:temperature:at_limit_pct@87.5"].meaning
    assert told["sensor:processor:temperature:at_limit_pct@87.5"] == 100


def test_a_clock_that_drops_and_stays_down_is_one_step() -> None:
    told = summarise(log(channel(throttling())))
    assert told["sensor:processor:clock:steps"] == 1
    assert told["sensor:processor:clock:largest_step_pct"] == pytest.approx(100 * (4150 / 4700 - 1), abs=0.6)


def test_a_steady_clock_has_no_step_and_no_size_of_one() -> None:
    told = summarise(log(channel(np.full(100, 4700.0))))
    assert told["sensor:processor:clock:steps"] == 0
    assert "sensor:processor:clock:largest_step_pct" not in told


def test_a_log_too_short_to_hold_a_step_says_nothing_of_steps() -> None:
    assert "sensor:processor:clock:steps" not in summarise(log(channel(np.full(19, 4700.0))))


def test_time_at_its_own_maximum_is_told_only_of_a_plateau() -> None:
    at_limit = np.r_[np.linspace(40, 89, 60), np.full(40, 90.0)]
    told = summarise(log(channel(at_limit, Role.TEMPERATURE, "°C")))
    assert told["sensor:processor:temperature:at_max_pct"] == pytest.approx(41)  # 89 °C is within 1 °C
    peak = np.r_[np.linspace(40, 90, 50), np.linspace(90, 40, 50)]
    assert "sensor:processor:temperature:at_max_pct" not in summarise(
        log(channel(peak, Role.TEMPERATURE, "°C"))
    )


def test_time_is_weighed_by_how_long_a_reading_stood() -> None:
    slow_then_quick = SensorLog(
        time_s=np.r_[np.arange(0, 20, 2.0), np.arange(20, 30, 1.0)],
        channels=(channel(np.r_[np.full(10, 95.0), np.full(10, 50.0)], Role.TEMPERATURE, "°C"),),
    )
    told = summarise(slow_then_quick, limits={(Role.TEMPERATURE, "processor"): 95.0})
    assert told["sensor:processor:temperature:at_limit_pct@95"] == pytest.approx(100 * 20 / 30)


def test_only_the_window_counts() -> None:
    readings = np.r_[np.full(10, 10.0), np.full(10, 50.0), np.full(10, 10.0)]
    told = summarise(log(channel(readings, Role.LOAD, "%")), from_s=10, to_s=19)
    assert told["sensor:processor:load:median"] == 50


def test_unreadable_readings_are_left_out_and_an_empty_channel_has_no_keys() -> None:
    told = summarise(log(channel([np.nan, 10.0, 30.0], Role.LOAD, "%"), channel([np.nan] * 3)))
    assert told["sensor:processor:load:median"] == 20
    assert not any(":clock:" in key for key in told)


def test_a_second_channel_in_the_same_place_keeps_its_own_keys() -> None:
    told = summarise(
        log(channel([1.0, 1.0], Role.TEMPERATURE, "°C"), channel([2.0, 2.0], Role.TEMPERATURE, "°C"))
    )
    assert told["sensor:processor:temperature:median"] == 1
    assert told["sensor:processor (2):temperature:median"] == 2


def test_a_clock_logged_backwards_still_gives_finite_numbers() -> None:
    muddled = SensorLog(time_s=np.array([0.0, 2.0, 1.0, 3.0]), channels=(channel([1.0, 2.0, 3.0, 4.0]),))
    assert all(np.isfinite(v) for v in summarise(muddled).values())


def test_a_single_reading_is_its_own_median() -> None:
    told = summarise(
        log(channel([61.0], Role.TEMPERATURE, "°C")), limits={(Role.TEMPERATURE, "processor"): 90}
    )
    assert told["sensor:processor:temperature:median"] == 61
    assert told["sensor:processor:temperature:at_limit_pct@90"] == 0


@pytest.mark.parametrize(
    "key", ["sensor:cpu:mood:median", "sensor:cpu:clock:best", "sensor:cpu", "sensor:a:load:steps"]
)
def test_a_key_of_no_sensor_summary_is_unknown(key: str) -> None:
    with pytest.raises(NotFound):
        definition(key)
