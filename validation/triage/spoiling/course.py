"""Runs that are slower, shifted, restless or elsewhere for a time or throughout."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from evenhand.triage.candidate import Candidate
from validation.triage.runs import Change, again
from validation.triage.scenes import Floats, Scene, draw_course, inside
from validation.triage.sensors import Sensing
from validation.triage.spoiling.ways import Rng, Single, swing


def odd(low: float, high: float) -> Single:
    """Quicker or slower throughout by so much."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        shift = float(np.log1p(rng.uniform(low, high)) * rng.choice([-1, 1]))
        return again(scene, run, Change(slower=lambda at_s: np.full(at_s.size, shift)))

    return change


def sagging(low: float, high: float) -> Single:
    """Slower in the last quarter than in the first by so much: from some moment on, along a smooth ramp."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        return again(scene, run, Change(slower=_ramp(scene, float(rng.uniform(low, high)), rng)))

    return change


def _ramp(scene: Scene, size: float, rng: Rng) -> Callable[[Floats], Floats]:
    """From nothing at a quarter of the run, or later, to all of it at three quarters, or earlier."""
    begins, ends = sorted(rng.uniform(0.25, 0.75, 2) * scene.length_s)
    return lambda at_s: np.log1p(size) * ((at_s - begins) / max(1.0, ends - begins)).clip(0, 1)


def throttled(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """A clock that falls by 3 to 20 % at 40 to 70 % of the run, and frames that follow it by half or more."""
    falls_to, share = float(rng.uniform(0.8, 0.97)), float(rng.uniform(0.4, 0.7))
    size = -np.log(falls_to) * float(rng.uniform(0.5, 1))
    slower = step_at(share * scene.length_s, size)
    return again(
        scene, run, Change(slower=slower, sensing=Sensing(from_share=share, clock_falls_to=falls_to))
    )


def step_at(begins_s: float, size: float) -> Callable[[Floats], Floats]:
    """Slower by so much from a moment on."""
    return lambda at_s: np.where(at_s >= begins_s, size, 0.0)


def slow_stretch(low_s: float, high_s: float) -> Single:
    """Loading: 3 to 8 s in which frames take 20 to 120 % longer, anywhere in the run."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        lasts_s = float(rng.uniform(low_s, high_s))
        begins_s = float(rng.uniform(0, scene.length_s - lasts_s - 1))
        size = float(np.log1p(rng.uniform(0.2, 1.2)))
        return again(scene, run, Change(slower=window(begins_s, lasts_s, size)))

    return change


def window(begins_s: float, lasts_s: float, size: float) -> Callable[[Floats], Floats]:
    """Slower by so much for a time."""
    return lambda at_s: np.where((at_s >= begins_s) & (at_s < begins_s + lasts_s), size, 0.0)


def bursts(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """Another program in bursts: two to six of 2 to 5 s, one in 10 s at most, frames 12 to 40 % longer."""
    most = max(2, int(scene.length_s / 10))
    count = int(rng.integers(2, min(6, most) + 1))
    begins = np.sort(rng.uniform(0, scene.length_s - 5, count))
    ends = begins + rng.uniform(2, 5, count)
    size = float(np.log1p(rng.uniform(0.12, 0.4)))

    def slower(at_s: Floats) -> Floats:
        inside = (at_s[:, None] >= begins) & (at_s[:, None] < ends)
        return np.where(inside.any(axis=1), size, 0.0)

    return again(scene, run, Change(slower=slower))


def late(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """The log begins 2 to 8 s later or earlier in the scene than the siblings', at most a third of it."""
    by_s = min(float(rng.uniform(2, 8)), scene.length_s / 3) * float(rng.choice([-1, 1]))
    return again(scene, run, Change(offset_s=by_s))


def elsewhere_in_the_game(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """Another scene of the same title, with the same average frame time."""
    while True:
        course = draw_course(str(rng.choice(["waves", "steps", "cuts"])), scene.length_s, rng)
        if swing(inside(course, scene)) > 0.05:
            break
    course = course + np.mean(inside(scene.course, scene)) - np.mean(inside(course, scene))
    return again(scene, run, Change(scene=replace(scene, course=course)))


def scattered(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """Two to four times the noise from frame to frame."""
    return again(scene, run, Change(noise=float(rng.uniform(2, 4))))


def hitching(fewest: int, most: int) -> Single:
    """So many further hitches, anywhere after the first second."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        count = int(rng.integers(fewest, most + 1))
        places = tuple(float(at) for at in rng.uniform(1, 0.97 * scene.length_s, count))
        return again(scene, run, Change(hitches_s=places))

    return change
