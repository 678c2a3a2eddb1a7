"""Simulated and recorded parts that warm up: what the pages about them say."""

from __future__ import annotations

import numpy as np
from validation.heat import CLOSE, NEAR_C, World, tried
from validation.heat_rest import checked, row
from validation.recorded.heat import EVEN, SHARES, forecast

from evenhand.tuning.heat_doubts import Doubt
from evenhand.tuning.heat_rest import OFF_C


def test_a_few_simulated_parts_are_found_and_forecast() -> None:
    rng = np.random.default_rng(8)
    for stages, minutes in ((1, 30), (2, 60)):
        rows = [tried(World(stages=stages, minutes=minutes), rng) for _ in range(4)]
        assert all(row.right for row in rows)
        assert all(abs(row.whole_off) <= CLOSE for row in rows)
        assert all(row.forecast_off_c <= NEAR_C for row in rows)


def test_rest_after_load_of_parts_whose_watts_tell_all_seems_to_lie_off_by_little() -> None:
    rng = np.random.default_rng(8)
    world = World(stages=2, minutes=30)
    found = [checked(world, rng) for _ in range(3)]
    assert all(each is not None and abs(each.mean_c) < OFF_C / 2 for each in found)
    assert row(world, found).endswith("| 0 |")


def test_the_recorded_memory_is_forecast_within_two_degrees_but_for_one_reading() -> None:
    found = forecast(SHARES, "memory_c")
    assert (found.fit.stages, found.off_c.size) == (2, 371)
    assert (np.abs(found.off_c) > 2.0).sum() == 1
    assert np.abs(found.off_c).max() < 2.3
    assert Doubt.ROOM_UNKNOWN in found.doubts


def test_the_recorded_chip_is_not_and_its_fit_says_so() -> None:
    found = forecast(SHARES, "chip_c")
    assert found.near < 0.9
    assert Doubt.LEFT_OVER in found.doubts


def test_under_loads_that_draw_evenly_both_are_forecast_within_two_degrees() -> None:
    for sensor in ("memory_c", "chip_c"):
        found = forecast(EVEN, sensor)
        worked = found.loads != "rest"
        assert worked.sum() == 276
        assert np.abs(found.off_c[worked]).max() < 2.0


def test_at_rest_one_sum_of_watts_does_not_tell_where_they_are_drawn() -> None:
    off = {sensor: forecast(EVEN, sensor) for sensor in ("memory_c", "chip_c")}
    rest = off["chip_c"].loads == "rest"
    assert np.mean(off["chip_c"].off_c[rest]) > 2.0
    assert np.mean(off["memory_c"].off_c[rest]) < -3.0
