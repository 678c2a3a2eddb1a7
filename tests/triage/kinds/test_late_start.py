"""A take begun earlier or later in the scene than its siblings."""

from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import Floats, judge, kinds, only, plain, run
from tests.triage.scenes import scene_take, seen, takes_beside

from evenhand.records.faults import Severity
from evenhand.triage.kinds.course import course_of_run
from evenhand.triage.kinds.late_start import KIND


@pytest.mark.parametrize("late_s", [-8.0, -2.0, 2.0, 5.0])
@pytest.mark.parametrize("n", [3, 5])
def test_two_seconds_and_more_are_found_with_their_sign(late_s: float, n: int) -> None:
    ((name, fault),) = course_of_run(seen(takes_beside(scene_take(1, begins_s=late_s), n)))
    assert (name, fault.kind, fault.severity) == ("1", KIND, Severity.IN_DOUBT)
    assert fault.numbers["later_s"] == pytest.approx(late_s, abs=0.25)
    assert ("later" if late_s > 0 else "earlier") in fault.title


def test_the_piece_of_the_scene_that_only_this_take_saw_is_marked() -> None:
    ((_, late),) = course_of_run(seen(takes_beside(scene_take(1, begins_s=5.0))))
    ((_, early),) = course_of_run(seen(takes_beside(scene_take(1, begins_s=-5.0))))
    assert late.places[0].to_s - late.places[0].from_s == pytest.approx(5.0, abs=0.3)
    assert (early.places[0].from_s, early.places[0].to_s) == pytest.approx((0.0, 5.0), abs=0.3)


def test_takes_that_all_begin_elsewhere_make_none_of_them_late() -> None:
    begun = tuple(run(str(i), scene_take(i, begins_s=1.7 * i)) for i in range(1, 6))
    assert list(course_of_run(seen(begun))) == []


def test_of_two_takes_both_are_noted() -> None:
    found = dict(course_of_run(seen(takes_beside(scene_take(1, begins_s=4.0), 2))))
    assert [found[i].severity for i in "12"] == [Severity.NOTE, Severity.NOTE]
    assert "shifted by that it lies over it" in plain(found["1"].evidence)
    assert "run 2 is odd" in found["1"].todo


@pytest.mark.parametrize("frame_ms", [2.5, 33.3])
def test_a_loading_screen_before_the_scene_is_called_one(frame_ms: float) -> None:
    screen = np.random.default_rng(3).normal(frame_ms, 0.02 * frame_ms, round(3000 / frame_ms))
    loaded = np.concatenate((screen, scene_take(1)))
    ((_, fault),) = course_of_run(seen(takes_beside(loaded)))
    assert (fault.kind, fault.title) == (KIND, "Begins before the scene")
    assert fault.numbers["before_ms"] == pytest.approx(frame_ms, rel=0.02)
    assert "in the scene, as while something loads; from then on it lies over them" in plain(fault.evidence)
    assert "measured window begin after 3." in plain(fault.todo)
    assert fault.numbers["lost_s"] == pytest.approx(3.0, abs=0.3)


def test_an_early_start_in_the_scene_itself_is_no_loading_screen() -> None:
    ((_, fault),) = course_of_run(seen(takes_beside(scene_take(1, begins_s=-5.0))))
    assert fault.title == "Begins earlier in the scene"
    assert "lost_s" not in fault.numbers


def stepped(seed: int, before: int = 0) -> Floats:
    """A take of a scene in steps, each seed at a pace of its own; `before` frames of loading come first."""
    frames = 4500
    at = np.random.default_rng(5).normal(0, 0.8, 40).repeat(frames // 40 + 1)[:frames]
    rng = np.random.default_rng(seed)
    scene = 1.1 * (12 + 2 * np.sin(np.linspace(0, 9, frames)) + at)
    times = scene * np.exp(rng.normal(0, 0.05, frames)) * np.exp(rng.normal(0, 0.006))
    times[rng.integers(0, frames, 6)] *= 3.2
    return np.concatenate([40.0 * np.exp(rng.normal(0, 0.05, before)), times])


@pytest.mark.parametrize("others", [(2, 833), (2, 833, 835), (2, 833, 835, 836)])
def test_a_sibling_of_another_pace_does_not_make_another_scene_of_a_late_one(others: tuple[int, ...]) -> None:
    found = judge([run("late", stepped(832, 180)), *(run(str(seed), stepped(seed)) for seed in others)])
    assert only(found["late"], KIND).title == "Begins before the scene"
    assert not {kind for name, faults in found.items() for kind in kinds(faults) if name != "late"}
