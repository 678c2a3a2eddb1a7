"""Readings that no part has are none, and one that stands still under load is told as such."""

from __future__ import annotations

import math

import pytest

from evenhand.rig.readings.sensor import Sensor
from evenhand.rig.trials.doubtful import STILL_AGAIN_S, STILL_S, Oddities, reading


def sensor(role: str, value: float | None) -> Sensor:
    return Sensor(role=role, about="package", source="here", read=lambda: value)


@pytest.mark.parametrize("told", [None, -40.0, -273.0, 150.0, 255.0, 1000.0, math.nan])
def test_a_heat_that_no_part_has_is_no_reading(told: float | None) -> None:
    assert reading(sensor("temperature", told)) is None


@pytest.mark.parametrize("told", [-1.0, 1e7, math.nan])
def test_nor_are_watts_that_none_draws(told: float) -> None:
    assert reading(sensor("power", told)) is None
    assert reading(sensor("fan", 1e7)) == 1e7, "of fans and clocks nobody knows the most"


@pytest.mark.parametrize(("role", "told"), [("temperature", -39.0), ("temperature", 105.0), ("power", 0.0)])
def test_what_may_be_is_a_reading(role: str, told: float) -> None:
    assert reading(sensor(role, told)) == told


def test_nonsense_is_told_once_for_each_sensor() -> None:
    odd, loose = Oddities(), sensor("temperature", 1000.0)
    assert odd.nonsense(loose, 1000.0) == "package read 1000 °C, which no part is"
    assert odd.nonsense(loose, -40.0) == ""
    assert odd.nonsense(loose, None) == odd.nonsense(loose, 71.0) == ""
    assert len(odd.kept) == 1


def stood(odd: Oddities, value: float, begin: int, end: int) -> list[tuple[int, str]]:
    heat = sensor("temperature", value)
    return [(s, said) for s in range(begin, end) if (said := odd.still(heat, value, float(s)))]


def test_one_that_never_moved_since_the_load_began_is_told_after_two_minutes() -> None:
    odd = Oddities()
    ((at, said),) = stood(odd, 45.0, 0, 1000)
    assert at == STILL_S
    assert said == "package stood at 45 °C for 120 s, as if it were not read"
    assert odd.kept == [said]


def test_one_that_moved_may_be_steady_for_ten_minutes_and_each_standstill_is_told() -> None:
    odd = Oddities()
    assert stood(odd, 45.0, 0, 30) == []
    assert stood(odd, 80.0, 30, 30 + int(STILL_AGAIN_S)) == []
    ((at, _),) = stood(odd, 80.0, 30 + int(STILL_AGAIN_S), 2000)
    assert at == 30 + STILL_AGAIN_S
    assert stood(odd, 81.0, 2000, 2100) == []
    assert len(stood(odd, 80.0, 2100, 3000)) == 1


def test_a_steady_part_that_flickers_by_a_degree_is_read() -> None:
    odd = Oddities()
    assert stood(odd, 45.0, -30, 0) == []
    for s in range(5000):
        assert odd.still(sensor("temperature", 0.0), 80.0 + (s // 300) % 2, float(s)) == ""
