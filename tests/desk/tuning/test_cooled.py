"""What cools a part is its last temperature log's, for watts of the very meter that the log has."""

from __future__ import annotations

import pytest
from tests.desk.tuning.small_chip import tried, walked
from tests.desk.tuning.test_watts import with_watts
from tests.desk.tuning.warm_log import brought
from tests.tuning.heated import CASE, COOLER

from evenhand.desk.tuning.asking_watts import asked_watts
from evenhand.desk.tuning.cooled import cooled_of
from evenhand.desk.tuning.noting import tuned_part
from evenhand.records.trials import Meter
from evenhand.store.workbench import Workbench

C_PER_W = COOLER.c_per_w + CASE.c_per_w


def test_without_a_log_or_with_one_that_tells_no_network_nothing_cools_it(bench: Workbench) -> None:
    part = tuned_part(bench, "wren", "processor")
    assert cooled_of(bench, part, room_c=24.0) == (None, None)
    brought(bench, watts="")
    assert cooled_of(bench, part, room_c=24.0) == (None, None)


def test_a_log_tells_its_degrees_per_watt_with_their_doubt_in_the_room_of_the_trials(
    bench: Workbench,
) -> None:
    brought(bench)
    part = tuned_part(bench, "wren", "processor")
    found, meter = cooled_of(bench, part, room_c=24.0)
    assert found is not None
    assert meter is Meter.PART
    assert found.c_per_w.value == pytest.approx(C_PER_W, rel=0.02)
    assert 0 < found.c_per_w.sd < 0.05 * C_PER_W
    assert (found.room_c.value, found.room_c.sd) == (24.0, 0.0)


def test_more_watts_make_it_warmer_and_cost_more_where_the_log_is_of_that_meter(bench: Workbench) -> None:
    tried(bench, with_watts(walked()))
    still = asked_watts(bench, "wren", "processor", study="quay").meters[0].best
    brought(bench)
    warm = asked_watts(bench, "wren", "processor", study="quay").meters[0].best
    assert still is not None
    assert warm is not None
    assert (still.cooled, warm.cooled) == (False, True)
    assert warm.here.clock_mhz < still.here.clock_mhz, "the slower one stays cooler, and leaks less"
    assert warm.efficient.gain.value > still.efficient.gain.value
