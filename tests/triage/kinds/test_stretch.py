"""A stretch in which a run is slower than every sibling, and pauses."""

from __future__ import annotations

import re

import numpy as np
import pytest
from tests.triage.cells import plain, run
from tests.triage.scenes import scene_take, seen, takes_beside, window, with_pause

from evenhand.records.faults import Fault, Severity
from evenhand.triage.candidate import Candidate
from evenhand.triage.curves import Floats
from evenhand.triage.kinds.course import course_of_run
from evenhand.triage.kinds.stretch import KIND


def told(runs: tuple[Candidate, ...]) -> Fault:
    """What is told of run 1, and of no other."""
    ((name, fault),) = course_of_run(seen(runs))
    assert name == "1"
    return fault


@pytest.mark.parametrize("n", [3, 5])
@pytest.mark.parametrize(("from_s", "to_s"), [(0.0, 3.0), (12.0, 15.0), (22.0, 30.0), (36.5, 40.0)])
def test_loading_of_three_seconds_and_more_is_found_where_it_is(n: int, from_s: float, to_s: float) -> None:
    fault = told(takes_beside(scene_take(1, slower=window(from_s, to_s, 0.25)), n))
    assert (fault.kind, fault.severity) == (KIND, Severity.IN_DOUBT)
    (place,) = fault.places
    assert place.from_s == pytest.approx(from_s, abs=1.0)
    assert place.to_s == pytest.approx(to_s, abs=1.0)
    assert fault.numbers["slower_ln"] == pytest.approx(0.25, abs=0.06)
    assert fault.numbers["lost_s"] == pytest.approx((to_s - from_s) * 0.22, abs=0.25)


@pytest.mark.parametrize("noise", [0.01, 0.05])
@pytest.mark.parametrize("size", [0.06, 0.08])
def test_a_slight_stretch_is_told_in_its_whole_length_though_single_bins_fall_out_of_it(
    noise: float, size: float
) -> None:
    takes = [
        scene_take(i, seconds=60.0, noise=noise, slower=window(25, 45, size) if i == 1 else None)
        for i in range(1, 6)
    ]
    fault = told(tuple(run(str(i), times) for i, times in enumerate(takes, 1)))
    (place,) = fault.places
    assert (place.from_s, place.to_s) == (pytest.approx(25, abs=1.0), pytest.approx(45, abs=1.0))
    assert fault.numbers["lasts_s"] == place.to_s - place.from_s
    assert fault.numbers["lost_s"] == pytest.approx(20 * (1 - np.exp(-size)), rel=0.15)
    assert fault.numbers["slower_ln"] <= fault.numbers["worst_ln"]


def test_where_the_whole_is_slower_by_less_than_the_limit_its_worst_part_is_told() -> None:
    takes = [
        scene_take(i, seconds=60.0, slower=window(25, 45, 0.049) if i == 1 else None, noise=0.05)
        for i in range(1, 6)
    ]
    fault = told(tuple(run(str(i), times) for i, times in enumerate(takes, 1)))
    assert fault.numbers["slower_ln"] < fault.numbers["limit_ln"] < fault.numbers["worst_ln"]
    assert "over its worst" in plain(fault.evidence)


def test_bursts_of_another_program_are_found_though_each_is_short() -> None:
    def bursts(at_s: Floats) -> Floats:
        return sum(window(b, b + 2.5, 0.13)(at_s) for b in (5.0, 14.0, 27.0)) + 0 * at_s

    assert told(takes_beside(scene_take(1, slower=bursts))).kind == KIND


def test_the_sentence_says_how_long_how_much_and_what_good_takes_do() -> None:
    text = plain(told(takes_beside(scene_take(1, slower=window(12, 16, 0.25)))).evidence)
    assert "from 12.0 s on frames take" in text
    assert "longer than in its 4 siblings" in text
    assert "good takes of this test stay within" in text


def test_what_good_takes_do_is_told_as_a_default_where_there_are_none() -> None:
    found = dict(course_of_run(seen(takes_beside(scene_take(1, slower=window(12, 16, 0.4)), 2))))
    assert "by default good takes are believed to stay within" in plain(found["1"].evidence)


def test_a_pause_made_of_one_frame_is_found_though_no_bin_knows_it() -> None:
    fault = told(takes_beside(with_pause(scene_take(1), 15.0, 3000.0)))
    assert fault.title == "Stands still"
    assert "1 frame of 3,000 ms" in plain(fault.evidence)
    assert fault.numbers["lost_s"] == pytest.approx(3.0, abs=0.05)


@pytest.mark.parametrize("frame_ms", [25.0, 50.0, 300.0])
def test_a_scene_that_waits_while_the_run_loads_is_not_taken_for_another_scene(frame_ms: float) -> None:
    times = scene_take(1)
    for _ in range(round(3000 / frame_ms)):
        times = with_pause(times, 15.0, frame_ms)
    assert told(takes_beside(times)).kind == KIND


@pytest.mark.parametrize(("frames", "frame_ms"), [(40, 100.0), (80, 50.0), (133, 30.0)])
def test_a_stretch_of_long_frames_is_told_as_long_and_as_slow_as_it_is(frames: int, frame_ms: float) -> None:
    times = scene_take(1, seconds=60.0)
    for _ in range(frames):
        times = with_pause(times, 20.0, frame_ms)
    others = [scene_take(i, seconds=60.0) for i in range(2, 6)]
    fault = told(tuple(run(str(i), ms) for i, ms in enumerate([times, *others], 1)))
    (place,) = fault.places
    lasts_s, usual_ms = frames * frame_ms / 1000, float(np.median(times[np.cumsum(times) < 20_000][-60:]))
    assert (place.from_s, place.to_s) == (pytest.approx(20, abs=0.1), pytest.approx(20 + lasts_s, abs=0.1))
    assert np.exp(fault.numbers["slower_ln"]) == pytest.approx(frame_ms / usual_ms, rel=0.1)
    assert fault.numbers["lost_s"] == pytest.approx(lasts_s * (1 - usual_ms / frame_ms), rel=0.06)
    assert fault.numbers["lost_s"] == pytest.approx(
        fault.numbers["lasts_s"] * -np.expm1(-fault.numbers["slower_ln"]), rel=0.01
    )


def test_what_takes_several_times_as_long_is_told_as_such() -> None:
    times = scene_take(1)
    for _ in range(40):
        times = with_pause(times, 20.0, 100.0)
    text = plain(told(takes_beside(times)).evidence)
    assert re.search(
        r"frames take (9\.\d|1[012]) times as long as in its 4 siblings, about 3\.[67] s lost", text
    )


def test_one_bad_hitch_is_no_pause() -> None:
    assert list(course_of_run(seen(takes_beside(with_pause(scene_take(1), 15.0, 700.0))))) == []


def test_a_stretch_that_a_sibling_shares_is_the_scene() -> None:
    shared = [scene_take(i, slower=window(12, 16, 0.25)) for i in (1, 2)]
    good = [scene_take(i) for i in (3, 4)]
    cell = tuple(run(str(i), times) for i, times in enumerate([*shared, *good], 1))
    assert list(course_of_run(seen(cell))) == []


def test_a_run_quicker_for_a_while_is_not_accused_of_slowness() -> None:
    quick = takes_beside(scene_take(1, slower=window(12, 16, -0.25)))
    assert [f.kind for i, f in course_of_run(seen(quick)) if i == "1"] == []
