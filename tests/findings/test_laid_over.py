"""Runs of one scene laid over each other: a planted place is found, and nothing is found where nothing is."""

from __future__ import annotations

import numpy as np
import pytest

from evenhand.findings.laid_over import Axis, LaidOver, lay_over

SECONDS = 60.0
Floats = np.ndarray


def take(
    fps: float, *, seed: int, slow: tuple[float, float, float] | None = None, starts: float = 0.0
) -> Floats:
    """Frame times in ms of one take of a scene with a course; `slow` takes longer by a factor for a while."""
    rng = np.random.default_rng(seed)
    times, at = [], 0.0
    while at < SECONDS:
        scene = 1 + 0.25 * np.sin((at + starts) / 4) + 0.1 * np.sin((at + starts) / 1.3)
        ms = 1000 / fps * scene * rng.gamma(400, 1 / 400)
        if slow and slow[0] <= at + starts < slow[1]:
            ms *= slow[2]
        times.append(ms)
        at += ms / 1000
    return np.array(times)


def laid(a: list[Floats], b: list[Floats]) -> LaidOver:
    found = lay_over(a, b, margin=0.03)
    assert found is not None
    return found


def test_where_one_loses_time_is_found_and_how_much() -> None:
    a = [take(100, seed=i, slow=(20, 26, 1.2)) for i in range(4)]
    b = [take(90, seed=10 + i) for i in range(4)]
    found = laid(a, b)
    assert found.axis is Axis.TIME
    assert found.overall == pytest.approx(100 / 90, rel=0.02)
    assert len(found.spots) == 1
    spot = found.spots[0]
    assert spot.from_s == pytest.approx(20, abs=1.5)
    assert spot.to_s == pytest.approx(26, abs=1.5)
    assert spot.ratio == pytest.approx(100 / 90 / 1.2, rel=0.04)


def test_swapped_the_ratios_are_the_other_way_round() -> None:
    a = [take(100, seed=i, slow=(20, 26, 1.2)) for i in range(4)]
    b = [take(90, seed=10 + i) for i in range(4)]
    one, other = laid(a, b), laid(b, a)
    assert one.overall * other.overall == pytest.approx(1, rel=0.01)
    assert one.spots[0].ratio * other.spots[0].ratio == pytest.approx(1, rel=0.03)


@pytest.mark.parametrize("seed", range(6))
def test_setups_that_differ_by_one_factor_all_along_have_no_such_place(seed: int) -> None:
    a = [take(100, seed=100 * seed + i) for i in range(3)]
    b = [take(88, seed=100 * seed + 50 + i) for i in range(3)]
    assert laid(a, b).spots == ()


def test_a_take_that_began_late_is_moved_onto_the_others() -> None:
    a = [take(100, seed=i) for i in range(3)]
    b = [take(95, seed=9, starts=2.0), take(95, seed=10), take(95, seed=11)]
    found = laid(a, b)
    assert found.spots == ()
    assert found.agreement > 0.9


def test_takes_of_as_many_frames_are_laid_over_frame_by_frame() -> None:
    frames = take(100, seed=1)
    assert laid([frames, frames * 1.01], [frames * 1.3, frames * 1.31]).axis is Axis.FRAMES


def test_takes_that_share_neither_length_nor_frames_are_not_laid_over_each_other() -> None:
    frames = take(100, seed=1)
    assert lay_over([frames], [np.tile(frames, 2) * 1.2], margin=0.03) is None


def test_courses_that_do_not_resemble_each_other_tell_no_places() -> None:
    rng = np.random.default_rng(4)
    a, b = ([rng.gamma(50, 0.2, 6000) for _ in range(2)] for _ in range(2))
    found = laid(a, b)
    assert not found.resembles
    assert found.spots == ()


def test_one_run_a_side_tells_no_places_for_nobody_knows_how_runs_scatter() -> None:
    assert laid([take(100, seed=1, slow=(20, 26, 1.3))], [take(90, seed=2)]).spots == ()


@pytest.mark.parametrize("frames", [[], [np.array([np.nan, -1.0])], [np.array([10.0, 10.0])]])
def test_what_holds_no_course_is_not_laid_over(frames: list[Floats]) -> None:
    assert lay_over(frames, [take(90, seed=2)], margin=0.03) is None
