from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import STUDY, WORK, clock_log, held, judge, kinds, only, plain, scores, with_first

from evenhand.records.faults import Severity
from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel
from evenhand.triage.candidate import Company

RENDER = Company(test=WORK, study_spread=STUDY)
MINUTE = 60


def clock(minutes: float, falls_at: float, *, low: float = 4150.0, high: float = 4700.0) -> np.ndarray:
    """MHz each second: high, then low from a minute on, with the wandering of a real clock."""
    at = np.arange(int(minutes * MINUTE)) / MINUTE
    steps = 25.0 * np.random.default_rng(3).integers(-1, 2, at.size)
    return np.where(at < falls_at, high, low) + steps


def test_a_render_that_throttles_at_minute_9_is_in_doubt_as_behaviour() -> None:
    hot = replace(scores(4.2)[0], sensors=clock_log(clock(13, 9)), ambient_c=29.6)
    steady = [
        replace(r, sensors=clock_log(clock(13, 99)), ambient_c=24.0) for r in scores(0, 4.6, 4.58, 4.63)[1:]
    ]
    found = judge([hot, *steady], replace(RENDER, ambient_c=(22.0, 26.0)))
    fault = only(found["1"], "throttling")
    assert held(found) == {"1"}
    assert kinds(found["1"]) == {"throttling", "room"}
    assert fault.severity is Severity.IN_DOUBT
    assert fault.behaviour
    assert plain(fault.evidence) == (
        "From minute 9.0 the processor clock fell from 4.70 GHz to 4.15 GHz (−11.7 %) "
        "at 98 % load, in a room of 29.6 °C."
    )


@pytest.mark.parametrize("minutes", [9.6, 10.0, 11.0, 13.0, 30.0])
def test_the_fall_may_come_late(minutes: float) -> None:
    faults = judge([replace(scores(4.2)[0], sensors=clock_log(clock(minutes, 9)))], RENDER)["1"]
    assert only(faults, "throttling").places[0].from_s == pytest.approx(9 * MINUTE, abs=5)


def test_a_slow_drift_is_found_by_its_quarters() -> None:
    drift = np.linspace(4700, 4300, 600)
    fault = only(judge([replace(scores(4.2)[0], sensors=clock_log(drift))], RENDER)["1"], "throttling")
    assert fault.numbers["to_over_from"] == pytest.approx(4350 / 4650, rel=0.01)


@pytest.mark.parametrize(("low", "found"), [(4620.0, False), (4580.0, True)])
def test_the_clock_may_wander_by_2_2_per_cent(low: float, found: bool) -> None:
    log = clock_log(np.where(np.arange(600) < 300, 4700.0, low))
    assert ("throttling" in kinds(judge([replace(scores(4.2)[0], sensors=log)], RENDER)["1"])) is found


def test_a_boost_in_the_first_minute_is_no_fall() -> None:
    assert judge([replace(scores(4.2)[0], sensors=clock_log(clock(10, 0.8)))], RENDER)["1"] == ()


def test_a_clock_that_falls_because_the_load_ends_is_no_fault() -> None:
    load = np.where(np.arange(600) < 500, 97.0, 12.0)
    log = clock_log(np.where(np.arange(600) < 500, 4700.0, 1200.0), load_pct=load)
    assert judge([replace(scores(4.2)[0], sensors=log)], RENDER)["1"] == ()


def test_a_part_that_idles_is_not_judged() -> None:
    log = clock_log(np.where(np.arange(600) < 300, 4700.0, 3000.0), load_pct=40.0)
    assert judge([replace(scores(4.2)[0], sensors=log)], RENDER)["1"] == ()


def test_a_jumpy_clock_is_not_taken_for_a_fall() -> None:
    for seed in range(20):
        jumpy = 4500 * (1 + 0.06 * np.random.default_rng(seed).standard_normal(120))
        assert judge([replace(scores(4.2)[0], sensors=clock_log(jumpy))], RENDER)["1"] == (), seed


def test_runs_that_all_throttle_are_all_found_and_it_is_said() -> None:
    runs = [replace(r, sensors=clock_log(clock(13, 9))) for r in scores(4.2, 4.21, 4.19)]
    found = judge(runs, RENDER)
    assert held(found) == {"1", "2", "3"}
    assert plain(only(found["1"], "throttling").evidence).endswith("2 siblings do the same.")


def test_the_throttled_run_does_not_make_its_siblings_look_odd() -> None:
    rest = [replace(r, sensors=clock_log(clock(13, 99))) for r in scores(0, 4.60, 4.58)[1:]]
    hot = replace(scores(3.0)[0], sensors=clock_log(clock(13, 9)))
    assert held(judge(with_first([hot, *rest], hot), RENDER)) == {"1"}


def test_without_a_load_power_tells_and_without_either_it_is_only_noted() -> None:
    log = clock_log(clock(13, 9))
    power = Channel(role=Role.POWER, about="processor", unit="W", values=np.full(log.time_s.size, 140.0))
    by_power = replace(log, channels=(log.channels[0], power))
    bare = replace(log, channels=log.channels[:1])
    told = [
        only(judge([replace(scores(4.2)[0], sensors=s)], RENDER)["1"], "throttling") for s in (by_power, bare)
    ]
    assert [fault.severity for fault in told] == [Severity.IN_DOUBT, Severity.NOTE]


def test_another_parts_load_says_nothing_of_this_clock() -> None:
    log = clock_log(np.where(np.arange(600) < 300, 1980.0, 900.0), load_pct=98.0)
    graphics = replace(log, channels=(replace(log.channels[0], about="graphics"), log.channels[1]))
    faults = judge([replace(scores(4.2)[0], sensors=graphics)], RENDER)["1"]
    assert only(faults, "throttling").severity is Severity.NOTE


def test_gaps_in_the_readings_are_passed_over() -> None:
    log = clock_log(clock(13, 9))
    holed = log.channels[0].values.copy()
    holed[::7] = np.nan
    spotty = replace(log, channels=(replace(log.channels[0], values=holed), log.channels[1]))
    assert "throttling" in kinds(judge([replace(scores(4.2)[0], sensors=spotty)], RENDER)["1"])
