"""What a machine does, as its sensors show it."""

from __future__ import annotations

import numpy as np

from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.unjudged import unjudged
from validation.triage.runs import Change, Drawn, again
from validation.triage.scenes import Scene
from validation.triage.sensors import Sensing
from validation.triage.spoiling.course import step_at, window
from validation.triage.spoiling.ways import Rng


def power_limited(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """Power held at 65 to 90 % of its usual, the clock below for it: throughout, or from 10 to 50 % on."""
    held = float(rng.uniform(0.65, 0.9))
    share = 0.0 if rng.random() < 0.5 else float(rng.uniform(0.1, 0.5))
    slower = step_at(share * scene.length_s, -np.log(0.25 + 0.75 * held))
    return again(scene, run, Change(slower=slower, sensing=Sensing(from_share=share, power_held_to=held)))


def fan_stopped(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """A fan that stops at 20 to 50 % of the run, the temperature rising for it."""
    return again(scene, run, Change(sensing=Sensing(from_share=float(rng.uniform(0.2, 0.5)), fan_stops=True)))


def memory_filled(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """Memory that fills by 40 to 70 % of the run, and hitches from then on, one in 2 s."""
    share = float(rng.uniform(0.4, 0.7))
    places = np.arange(share * scene.length_s, 0.97 * scene.length_s, 2.0)
    sensing = Sensing(from_share=share, memory_fills=True)
    return again(scene, run, Change(hitches_s=tuple(places.tolist()), sensing=sensing))


def loaded_by_another(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """A process that takes 10 to 40 % from 20 to 50 % of the run to 70 to 100 %; frames 2 to 8 % longer."""
    share, until = float(rng.uniform(0.2, 0.5)), float(rng.uniform(0.7, 1))
    slower = window(share * scene.length_s, (until - share) * scene.length_s, float(rng.uniform(0.02, 0.08)))
    sensing = Sensing(from_share=share, other_load_pct=float(rng.uniform(10, 40)), other_until=until)
    return again(scene, run, Change(slower=slower, sensing=sensing))


def frozen(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """A sensor logger that stops at 20 to 50 % of the run and repeats its last readings."""
    return again(scene, run, Change(sensing=Sensing(from_share=float(rng.uniform(0.2, 0.5)), freezes=True)))


def other_zone(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """A sensor log written in another time zone."""
    return again(scene, run, Change(sensing=Sensing(zone_h=float(rng.choice([-7, -1, 1, 2, 5.5, 9])))))


def says_more_is_unjudged(before: Candidate, after: Candidate, around: Company) -> bool:
    """Whether the list of what could not be judged grew."""
    return len(unjudged([after], around)[after.id]) > len(unjudged([before], around)[before.id])


def found_in_log(_before: Candidate, after: Candidate, _around: Company) -> bool:
    """Whether the run was found at its true place in the sensor log, to a second and a half."""
    assert isinstance(after, Drawn)
    if after.alignment is None or after.run_at_s is None:
        return False
    return abs(after.alignment.offset_s - after.run_at_s) <= 1.5
