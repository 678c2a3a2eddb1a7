"""The trials of the example are those that the plan asks for, ended as the stated part would end them."""

from __future__ import annotations

import math

from evenhand.demo import trials as planted
from evenhand.desk.tuning.coming import why_none
from evenhand.desk.tuning.series import Series
from evenhand.desk.tuning.standing import TuningNow, tuning_now
from evenhand.publish.tuning.advice import DONE
from evenhand.records.trials import Quantity, Trial
from evenhand.tuning.doubts import Doubt
from evenhand.tuning.planning import WALK_HOURS
from evenhand.tuning.walk import Purpose

MADE = planted.trials()


def standing_after(trials: tuple[Trial, ...]) -> TuningNow:
    return tuning_now(Series(tuned=planted.TUNED, load=planted.LOAD, trials=trials))


def test_the_same_seed_makes_the_same_trials() -> None:
    assert planted.trials() == MADE
    assert planted.trials(seed=3) != MADE


def test_every_point_after_the_walk_is_what_the_plan_asked_for() -> None:
    walked = len(MADE) - len(planted.SOAKS)
    for number, point in enumerate(planted.SOAKS, start=walked):
        asked = standing_after(MADE[:number]).next
        assert asked is not None
        assert (asked.clock_mhz, asked.voltage_mv, asked.hours) == point
        assert asked.purpose is _purpose(point)


def _purpose(point: tuple[float, float, float]) -> Purpose:
    """Ten minutes are run to see it fail, a night where it is to hold, an hour to tell the two apart."""
    return {WALK_HOURS: Purpose.DEEPER, 1.0: Purpose.TELLING, 8.0: Purpose.CONFIRM}[point[2]]


def test_then_the_plan_is_done_with_a_day_at_the_advised_voltage_and_no_failure() -> None:
    now = standing_after(MADE)
    assert why_none(now) == DONE
    assert now.wanted is not None
    assert now.wanted.at is not None
    assert (now.wanted.at.claim.hours, now.wanted.at.claim.failures) == (planted.HELD_H, 0)
    assert now.doubts == (Doubt.OUT_OF_ORDER,)


def test_the_advised_voltage_is_enough_for_the_stated_part_and_no_more_than_a_guard_band_above() -> None:
    now = standing_after(MADE)
    for advice in now.advice:
        assert advice.voltage_mv is not None
        rate = planted.CHIP.rate(advice.clock_mhz, advice.voltage_mv, now.goal.room_c)
        assert rate <= now.goal.rate
        spare = planted.CHIP.spread_mv * math.log(now.goal.rate / rate)
        assert spare <= 45


def test_nothing_was_tried_past_a_limit() -> None:
    for quantity, tried in (
        (Quantity.VOLTAGE, [trial.voltage_mv for trial in MADE]),
        (Quantity.CLOCK, [trial.clock_mhz for trial in MADE]),
        (Quantity.TEMPERATURE, [trial.hottest_c for trial in MADE]),
    ):
        most = planted.TUNED.limit(quantity)
        assert most is not None
        assert all(value is not None and value <= most.most for value in tried)


def test_trials_follow_each_other() -> None:
    begun = [trial.at for trial in MADE if trial.at is not None]
    assert len(set(begun)) == len(MADE)
    assert begun == sorted(begun)
