from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import ALONE, GAME, STUDY, Floats, held, judge, kinds, only, plain, run, take

from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.learned import Known, Learned

RATES = (97.0, 97.6, 96.5, 98.1)


def still(seed: int, fps: float, noise: float) -> Floats:
    return take(seed, fps=fps, noise=noise, still=True)


def siblings(noise: float = 0.007, rates: tuple[float, ...] = RATES) -> list[Candidate]:
    return [run(str(i), still(i, fps, noise)) for i, fps in enumerate(rates)]


def shaken(fps: float, *, jitter: float = 0.003, seed: int = 9, noise: float = 0.007) -> Candidate:
    """Held in a still scene by a limiter that misses its line and does not make up for it."""
    times = still(seed, fps, noise)
    line = float(np.quantile(times, 0.9))
    rng = np.random.default_rng(seed)
    return run("shaken", np.where(times < line, line * (1 + jitter * rng.standard_normal(times.size)), times))


def beating(fps: float, *, jitter: float = 0.004, seed: int = 9) -> Candidate:
    """Frames that keep a beat: what one misses, the next makes up for."""
    rng = np.random.default_rng(seed)
    shake = jitter / fps * 1000 * rng.standard_normal(3000)
    return run("beating", 1000 / fps + np.diff(shake, prepend=0.0))


def test_quick_frames_that_every_sibling_has_are_missing() -> None:
    fault = only(judge([*siblings(), shaken(97.0)])["shaken"], "rate-cap")
    assert fault.numbers["route"] == 5
    assert fault.numbers["calmer_ln"] >= fault.numbers["calmer_needed_ln"]
    assert plain(fault.evidence).startswith("Held at ")
    assert "its quickest 3 % of frames reach" in plain(fault.evidence)


def test_a_run_that_is_calmer_and_quicker_than_all_others_is_not_held_by_anything() -> None:
    """A limiter can only slow a run down: siblings that something disturbed are not its fault."""
    found = judge([*siblings(), run("clean", still(9, 99.0, 0.003))])
    assert "rate-cap" not in kinds(found["clean"])


def test_two_siblings_are_asked_for_more() -> None:
    calmer = run("calmer", still(9, 96.6, 0.0053))
    few = siblings(rates=(97.0, 97.6))
    assert "rate-cap" not in kinds(judge([*few, calmer])["calmer"])
    assert "rate-cap" not in kinds(judge([few[0], shaken(97.0)])["shaken"])


def test_what_the_past_knows_of_noise_decides_how_much_calmer_is_too_calm() -> None:
    calmer = run("calmer", still(9, 96.6, 0.0056))
    steady = Company(
        test=GAME, study_spread=STUDY, learned=Learned(runs=80, scatter=Known(value=0.0004, weight=70.0))
    )
    assert "rate-cap" not in kinds(judge([*siblings(), calmer], ALONE)["calmer"])
    assert "rate-cap" in kinds(judge([*siblings(), calmer], steady)["calmer"])


def test_frames_that_make_up_for_each_other_are_a_limiters() -> None:
    fault = only(judge([*siblings(0.004), beating(97.3)])["beating"], "rate-cap")
    assert "each frame makes up for the one before it" in fault.evidence or fault.numbers["route"] == 1
    assert held(judge([*siblings(0.004), beating(97.3)])) == {"beating"}


def test_but_not_where_every_run_does_that_at_a_rate_of_its_own() -> None:
    """Then it is the log's clock that shakes."""
    rng = np.random.default_rng(2)
    runs = []
    for i, fps in enumerate(RATES):
        shake = 0.02 * 1000 / fps * rng.standard_normal(3000)
        frames = still(i, fps, 0.002)[:2900]
        runs.append(run(str(i), frames + np.diff(shake, prepend=0.0)[: frames.size]))
    assert held(judge(runs)) == set()


@pytest.mark.parametrize("jitter", [0.005, 0.02, 0.06])
def test_a_beat_at_a_usual_rate_needs_no_siblings(jitter: float) -> None:
    assert "rate-cap" in kinds(judge([beating(120.0, jitter=jitter)])["beating"])


def test_a_still_scene_at_a_usual_rate_is_not_held_for_that() -> None:
    for seed in range(12):
        only_run = run("1", still(seed, 120.0, 0.002 + 0.0004 * seed))
        assert "rate-cap" not in kinds(judge([only_run])["1"]), seed


def test_a_line_that_siblings_pass_is_a_line() -> None:
    moving = [run(str(i), take(i, fps=165.0)) for i in range(4)]
    times = take(9, fps=165.0)
    rng = np.random.default_rng(4)
    line = float(np.quantile(times, 0.97)) * (1 + 0.015 * rng.standard_normal(times.size))
    found = judge([*moving, run("held", np.maximum(times, line))])
    assert "rate-cap" in kinds(found["held"])
