"""What a clock that falls does to the course of its run is not told as another cause."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import ALONE, clock_log, held, judge, kinds, only, run
from tests.triage.scenes import Floats, elsewhere, scene_take, takes_beside, winding, window, with_pause

from evenhand.records.faults import Fault, Place, Severity
from evenhand.triage.candidate import Candidate
from evenhand.triage.consequences import cause_of, most_slower
from evenhand.triage.kinds.course import course_of_run
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import look

COURSE = {"slow-stretch", "slow-sag", "wrong-scene"}


def throttled(times: Floats, *, falls_s: float = 24.0, share: float = 0.86) -> tuple[Candidate, ...]:
    """A take whose clock falls, beside four good ones whose clocks hold."""
    at_s = np.arange(0, 40, 0.5)
    clock = 4700.0 + 10.0 * np.random.default_rng(1).integers(-1, 2, at_s.size)
    fallen = clock_log(np.where(at_s < falls_s, clock, clock * share), step_s=0.5)
    first, *others = takes_beside(times)
    return (
        replace(first, sensors=fallen),
        *(replace(r, sensors=clock_log(clock, step_s=0.5)) for r in others),
    )


def faults_of(times: Floats) -> tuple[Fault, ...]:
    found = judge(throttled(times))
    assert "throttling" in kinds(found["1"])
    assert held(found) == {"1"}
    return found["1"]


@pytest.mark.parametrize("begins_s", [22.0, 24.0, 28.0])
def test_a_stretch_that_begins_with_the_fall_follows_from_it(begins_s: float) -> None:
    slowed = scene_take(1, slower=window(begins_s, 40.0, 0.13))
    assert kinds(judge(takes_beside(slowed))["1"]) & COURSE
    assert not kinds(faults_of(slowed)) & COURSE


def test_a_stretch_well_before_the_fall_has_another_cause() -> None:
    fault = only(faults_of(scene_take(1, slower=window(8.0, 13.0, 0.25))), "slow-stretch")
    assert fault.places[0].from_s == pytest.approx(8.0, abs=1.0)


def test_frames_that_lose_far_more_than_the_clock_have_another_cause() -> None:
    assert "slow-stretch" in kinds(faults_of(scene_take(1, slower=window(30.0, 34.0, 0.6))))


def test_no_clock_makes_a_run_stand_still() -> None:
    assert "slow-stretch" in kinds(faults_of(with_pause(scene_take(1), 30.0, 3000.0)))


@pytest.mark.parametrize(("kind", "follows"), [("memory-full", True), ("fan-failure", False)])
def test_a_full_memory_may_make_it_stand_still(kind: str, follows: bool) -> None:
    paused = takes_beside(with_pause(scene_take(1), 30.0, 3000.0))
    cause = replace(fall(20.0), kind=kind, numbers={})
    view = look(paused, ALONE, DEFAULT).with_found([("1", cause)])
    assert ([f.kind for _, f in course_of_run(view)] == []) is follows


def by_frames(falls_s: float, size: float) -> Floats:
    """A scene that goes on frame by frame once the frames are slower."""
    rng = np.random.default_rng(1)
    own_s = scene_s = 0.0
    times = []
    while own_s < 40.0:
        slow = np.exp(size) if own_s >= falls_s else 1.0
        frame = 10.0 * np.exp(winding(np.array(scene_s)) + 0.02 * rng.standard_normal())
        times.append(frame * slow)
        own_s, scene_s = own_s + frame * slow / 1000, scene_s + frame / 1000
    return np.array(times)


def seen_with(times: Floats, cause: Fault) -> Fault | None:
    """The cause of another scene in a run that is held for something."""
    runs = (run("1", times), *(run(str(i), scene_take(200 + i)) for i in range(2, 6)))
    plain = look(runs, ALONE, DEFAULT)
    view = plain.with_found([("1", cause)])
    other = Fault(kind="wrong-scene", title="", severity=Severity.IN_DOUBT, evidence="", todo="",
        places=(Place(from_s=0.0, to_s=40.0),))  # fmt: skip
    return cause_of(other, view.runs[0], view)


def fall(from_s: float, to_over_from: float = 0.8) -> Fault:
    return Fault(
        kind="throttling",
        title="",
        severity=Severity.IN_DOUBT,
        evidence="",
        todo="",
        numbers={"to_over_from": to_over_from},
        places=(Place(from_s=from_s, to_s=40.0),),
    )


@pytest.mark.parametrize("falls_s", [4.0, 10.0, 20.0])
def test_a_scene_that_goes_by_frames_is_still_the_scene_after_the_fall(falls_s: float) -> None:
    assert seen_with(by_frames(falls_s, 0.2), fall(falls_s)) is not None


def test_nor_is_it_told_as_another_one() -> None:
    found = judge(throttled(by_frames(20.0, 0.2), falls_s=20.0, share=0.8))["1"]
    assert "throttling" in kinds(found)
    assert not kinds(found) & COURSE


@pytest.mark.parametrize("falls_s", [4.0, 20.0])
def test_another_scene_stays_one_whatever_the_clock_did(falls_s: float) -> None:
    assert seen_with(scene_take(1, scene=elsewhere), fall(falls_s)) is None
    found = judge(throttled(scene_take(1, scene=elsewhere), falls_s=20.0))["1"]
    assert {"throttling", "wrong-scene"} <= kinds(found)


def test_a_note_explains_nothing() -> None:
    assert seen_with(by_frames(10.0, 0.2), replace(fall(10.0), severity=Severity.NOTE)) is None


def test_a_fault_without_figures_sets_no_bound() -> None:
    limits = DEFAULT.consequence
    assert most_slower(fall(3.0, 0.9), limits) == pytest.approx(0.178, abs=0.001)
    assert most_slower(replace(fall(3.0), kind="memory-full", numbers={}), limits) == np.inf
