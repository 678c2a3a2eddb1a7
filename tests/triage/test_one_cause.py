"""A take that is longer because it lost time in one place is held for that, and only for that."""

from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import held, judge, only, plain, run
from tests.triage.scenes import Floats, scene_take, takes_beside, with_pause

from evenhand.records.faults import Fault, Severity


def of_first(times: Floats, n: int = 5) -> tuple[Fault, ...]:
    found = judge(takes_beside(times, n))
    assert held(found) == {"1"}
    return found["1"]


def crawling() -> Floats:
    times = scene_take(1)
    for _ in range(40):
        times = with_pause(times, 15.0, 100.0)
    return times


def counted(seed: int) -> Floats:
    """A take that ends by its count of frames, of a scene that hardly changes."""
    return np.exp(np.log(10) + 0.06 * np.random.default_rng(seed).standard_normal(3000))


def test_a_third_of_the_frames_at_half_their_pace_is_a_slow_stretch_that_ends() -> None:
    slow = counted(1)
    slow[1200:2100] *= 1.9
    runs = (run("1", slow), *(run(str(i), counted(i)) for i in (2, 3, 4)))
    first, second, *_ = judge(runs)["1"]
    assert (first.title, second.title) == ("A slow stretch", "Longer for as many frames")
    assert (first.severity, second.severity) == (Severity.IN_DOUBT, Severity.NOTE)
    (place,) = first.places
    assert (place.from_s, place.to_s) == (pytest.approx(12.0, abs=0.5), pytest.approx(29.1, abs=0.5))


def test_two_fifths_of_the_frames_of_a_still_scene_at_half_their_pace_are_no_other_scene() -> None:
    for seed in range(0, 60, 10):
        slow = counted(seed + 1)
        slow[900:2100] *= 1.9
        runs = (run("1", slow), *(run(str(i), counted(seed + i)) for i in range(2, 6)))
        assert next(f.title for f in judge(runs)["1"]) == "A slow stretch"


def loading() -> Floats:
    return np.concatenate((np.random.default_rng(3).normal(33.3, 0.6, 90), scene_take(1)))


@pytest.mark.parametrize(
    ("times", "title", "where"),
    [
        (with_pause(scene_take(1), 15.0, 4000.0), "Stands still", "from 15.0 s on"),
        (crawling(), "A slow stretch", "from 15.0 s on"),
        (loading(), "Begins before the scene", "before the scene"),
    ],
)
def test_the_cause_leads_and_the_length_names_it(times: Floats, title: str, where: str) -> None:
    first, *rest = of_first(times)
    assert (first.title, first.severity) == (title, Severity.IN_DOUBT)
    length = only(rest, "length")
    assert length.severity is Severity.NOTE
    assert length.todo.startswith("Nothing for its length")
    assert plain(length.evidence).endswith(f"s were lost {where}.")


def test_a_take_that_is_longer_than_its_pause_is_held_for_its_length_as_well() -> None:
    times = with_pause(scene_take(1, seconds=50.0), 15.0, 1500.0)
    assert only(of_first(times), "length").severity is Severity.IN_DOUBT


def test_a_short_take_is_not_explained_by_a_pause() -> None:
    times = with_pause(scene_take(1, seconds=30.0), 15.0, 4000.0)
    assert only(of_first(times), "length").severity is Severity.IN_DOUBT


def test_of_two_takes_the_pause_leads_too() -> None:
    first, *rest = of_first(with_pause(scene_take(1), 15.0, 4000.0), 2)
    assert first.title == "Stands still"
    assert "because 4.0 s were lost" in plain(only(rest, "length").evidence)
