"""A run is found in a sensor log by load edges, by its course, by times of day, or not at all."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest

from evenhand.metrics.alignment import How, align, clock_was_set, part_of_run
from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog

NOON = datetime(2031, 5, 4, 12, 0, tzinfo=UTC)
RUN_S = 60.0


def course_at(at_s: np.ndarray) -> np.ndarray:
    """The log rate of an invented scene."""
    return 0.15 * np.sin(at_s / 3.1 + at_s**2 / 90) + 0.08 * np.sin(at_s / 1.3 + 1)


def frames(seed: int = 1, *, length_s: float = RUN_S) -> np.ndarray:
    """Frame times of one run through the scene, ms."""
    rng, times, at_s = np.random.default_rng(seed), [], 0.0
    while at_s < length_s:
        times.append(10 * np.exp(-course_at(np.array(at_s)) + 0.03 * rng.standard_normal()))
        at_s += times[-1] / 1000
    return np.array(times)


def log(
    *begins_s: float, length_s: float, step_s: float = 0.5, started_at: datetime | None = None
) -> SensorLog:
    """Load that is high while a run lasts, and power that follows its course."""
    rng = np.random.default_rng(7)
    at_s = np.arange(0.0, length_s, 0.5)
    since = np.full(at_s.size, np.nan)
    for begin in begins_s:
        inside = (at_s >= begin) & (at_s < begin + RUN_S)
        since[inside] = at_s[inside] - begin
    busy = np.isfinite(since)
    load = np.where(busy, rng.normal(96, 2, at_s.size), rng.normal(8, 4, at_s.size))
    power = np.where(busy, 220 * (1 + course_at(np.nan_to_num(since))), 60) + rng.normal(0, 3, at_s.size)
    return SensorLog(
        time_s=at_s,
        channels=(
            Channel(role=Role.LOAD, about="graphics", unit="%", values=load),
            Channel(role=Role.POWER, about="graphics", unit="W", values=power),
        ),
        started_at=started_at,
    )


def loads_only(whole: SensorLog) -> SensorLog:
    return SensorLog(time_s=whole.time_s, channels=whole.channels[:1], started_at=whole.started_at)


@pytest.mark.parametrize("begin_s", [4.0, 30.0, 73.5])
def test_load_edges_find_a_run_in_a_longer_log(begin_s: float) -> None:
    found = align(log(begin_s, length_s=180), None, duration_s=RUN_S)
    assert found is not None
    assert found.how is How.EDGES
    assert found.offset_s == pytest.approx(begin_s, abs=1.0)


def test_the_course_of_the_frames_says_it_more_exactly() -> None:
    found = align(log(41.3, length_s=180), frames(), duration_s=RUN_S)
    assert found is not None
    assert found.how is How.COURSE
    assert found.offset_s == pytest.approx(41.3, abs=0.5)


def test_the_course_alone_is_enough_where_load_never_falls() -> None:
    whole = log(41.0, length_s=180)
    power = whole.channels[1].values
    held = np.where(power < 120, 220 + np.random.default_rng(3).normal(0, 3, power.size), power)
    busy = Channel(role=Role.POWER, about="graphics", unit="W", values=held)
    found = align(SensorLog(time_s=whole.time_s, channels=(busy,)), frames(), duration_s=RUN_S)
    assert found is not None
    assert found.how is How.COURSE
    assert found.offset_s == pytest.approx(41.0, abs=0.5)


def test_two_runs_alike_in_one_log_are_not_told_apart_without_times_of_day() -> None:
    assert align(loads_only(log(20.0, 120.0, length_s=220)), None, duration_s=RUN_S) is None


@pytest.mark.parametrize("stated_s", [17.0, 150.0])
def test_times_of_day_tell_two_runs_apart(stated_s: float) -> None:
    found = align(log(20.0, 180.0, length_s=300), None, duration_s=RUN_S, stated_s=stated_s)
    assert found is not None
    nearest = min((20.0, 180.0), key=lambda s: abs(s - stated_s))
    assert found.offset_s == pytest.approx(nearest, abs=1.0)
    assert found.moved_s == pytest.approx(nearest - stated_s, abs=1.0)


@pytest.mark.parametrize("hours", [-5.5, 1.0, 8.75])
def test_a_clock_in_another_time_zone_is_found_and_said(hours: float) -> None:
    found = align(log(40.0, length_s=200), None, duration_s=RUN_S, stated_s=40.0 - 3600 * hours)
    assert found is not None
    assert found.offset_s == pytest.approx(40.0, abs=1.0)
    assert found.zone_s == 3600 * hours


def test_clocks_that_agree_are_in_one_zone() -> None:
    found = align(log(40.0, length_s=200), None, duration_s=RUN_S, stated_s=43.0)
    assert found is not None
    assert found.zone_s == 0.0


def test_without_edges_the_times_of_day_are_believed() -> None:
    whole = log(length_s=300)
    found = align(whole, None, duration_s=RUN_S, stated_s=100.0)
    assert found is not None
    assert (found.how, found.offset_s, found.moved_s) == (How.STATED, 100.0, 0.0)


def test_times_of_day_outside_the_log_are_not_believed() -> None:
    assert align(log(length_s=300), None, duration_s=RUN_S, stated_s=4000.0) is None


def test_a_log_as_long_as_the_run_was_begun_with_it() -> None:
    found = align(log(length_s=61), None, duration_s=RUN_S)
    assert found is not None
    assert (found.how, found.offset_s) == (How.TOGETHER, 0.0)


def test_a_little_longer_it_is_taken_whole_and_said_to_be() -> None:
    found = align(log(length_s=72), None, duration_s=RUN_S)
    assert found is not None
    assert found.how is How.WHOLE


def test_much_longer_and_without_edges_nothing_tells() -> None:
    assert align(log(length_s=400), None, duration_s=RUN_S) is None


@pytest.mark.parametrize("duration_s", [0.0, -1.0, float("nan"), float("inf")])
def test_a_run_without_a_length_lies_nowhere(duration_s: float) -> None:
    assert align(log(20.0, length_s=200), None, duration_s=duration_s) is None


@pytest.mark.parametrize("readings", [0, 1, 2, 3])
def test_a_log_of_hardly_any_readings_does_no_harm(readings: int) -> None:
    values = np.linspace(0, 90, readings)
    short = SensorLog(
        time_s=np.arange(float(readings)),
        channels=(Channel(role=Role.LOAD, about="", unit="%", values=values),),
    )
    assert align(short, frames(length_s=20), duration_s=20.0) is None


def test_frozen_and_gappy_channels_tell_nothing_and_do_no_harm() -> None:
    at_s = np.concatenate([np.arange(0.0, 40), np.arange(400.0, 440)])
    channels = (
        Channel(role=Role.LOAD, about="frozen", unit="%", values=np.full(80, 97.0)),
        Channel(role=Role.POWER, about="lost", unit="W", values=np.full(80, np.nan)),
    )
    assert align(SensorLog(time_s=at_s, channels=channels), frames(), duration_s=RUN_S) is None


def test_the_readings_of_a_run_count_from_its_start() -> None:
    started = log(30.0, length_s=180, started_at=NOON)
    found = part_of_run(started, frames(), started_at=NOON + timedelta(seconds=33), duration_s=RUN_S)
    assert found is not None
    part, alignment = found
    assert alignment.moved_s == pytest.approx(-3.0, abs=0.6)
    assert 0.0 <= part.time_s[0] < 1.0
    assert part.time_s[-1] <= RUN_S
    assert part.channels[0].values[1:-1].min() > 60


def test_without_a_length_only_a_log_of_its_own_is_taken() -> None:
    alone = log(0.0, length_s=60)
    found = part_of_run(alone, None, started_at=None, duration_s=None)
    assert found is not None
    assert found[0] is alone
    assert part_of_run(log(length_s=60, started_at=NOON), None, started_at=NOON, duration_s=None) is None


def test_the_next_run_of_a_row_is_not_taken_for_this_one() -> None:
    """Runs without a pause between them: one light run between heavy ones has no edges of its own."""
    row = loads_only(log(10.0, 130.0, length_s=200))
    found = align(row, None, duration_s=RUN_S, stated_s=70.0)
    assert found is not None
    assert (found.how, found.offset_s) == (How.STATED, 70.0)


@pytest.mark.parametrize("off_s", [-300.0, 47.0, 1234.0])
def test_in_a_log_of_its_own_the_only_pair_of_edges_is_the_run_whatever_clocks_say(off_s: float) -> None:
    found = align(loads_only(log(20.0, length_s=100)), None, duration_s=RUN_S, stated_s=20.0 + off_s)
    assert found is not None
    assert found.offset_s == pytest.approx(20.0, abs=1.0)
    assert found.moved_s == pytest.approx(-off_s, abs=1.0)


def test_a_log_whose_clock_was_set_finds_nothing_and_costs_no_memory() -> None:
    whole = loads_only(log(30.0, length_s=120.0))
    stamps = whole.time_s + 1_938_480_000.0
    stamps[0] = 0.0
    set_within = SensorLog(time_s=stamps, channels=whole.channels)
    assert clock_was_set(set_within)
    assert not clock_was_set(whole)
    assert part_of_run(set_within, frames(), started_at=None, duration_s=RUN_S) is None


def test_a_log_of_a_few_days_with_a_hole_is_no_clock_that_was_set() -> None:
    whole = log(30.0, length_s=120.0)
    late = np.where(whole.time_s > 100, whole.time_s + 3 * 86_400, whole.time_s)
    found = align(SensorLog(time_s=late, channels=whole.channels), None, duration_s=RUN_S, stated_s=30.0)
    assert found is not None
    assert found.how is How.EDGES
