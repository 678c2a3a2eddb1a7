from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import GAME, STUDY, held, judge, kinds, only, plain, run, take

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Candidate, Company


def test_equal_medians_show_a_shared_cap_that_is_not_flat() -> None:
    rng = np.random.default_rng(3)
    runs = [run(str(i), 1000 / 97.3 * np.exp(0.01 * rng.standard_normal(9000))) for i in range(5)]
    found = judge(runs)
    assert held(found) == {"0", "1", "2", "3", "4"}
    assert only(found["0"], "rate-cap").numbers["route"] == 4


def test_three_equal_medians_at_no_usual_rate_are_not_enough() -> None:
    rng = np.random.default_rng(3)
    runs = [run(str(i), 1000 / 97.3 * np.exp(0.01 * rng.standard_normal(9000))) for i in range(3)]
    assert held(judge(runs)) == set()


def test_but_with_another_setup_at_the_same_rate_they_are() -> None:
    rng = np.random.default_rng(3)
    five = [run(str(i), 1000 / 97.3 * np.exp(0.01 * rng.standard_normal(9000))) for i in range(5)]
    found = judge(five[:3], Company(test=GAME, peers=(tuple(five[3:]),), study_spread=STUDY))
    assert held(found) == {"0", "1", "2"}
    assert "of another setup" in only(found["0"], "rate-cap").evidence


def quiet(count: int, *, fps: float, frames: int, scatter: float, seed: int = 1) -> list[Candidate]:
    """Takes of a scene in which nothing moves: independent frames about one rate, held by nothing."""
    rng = np.random.default_rng(seed)
    return [
        run(str(i), 1000 / fps * (1 + scatter * rng.standard_normal(frames))) for i in range(1, count + 1)
    ]


@pytest.mark.parametrize("count", [2, 3])
@pytest.mark.parametrize(("frames", "scatter"), [(2000, 0.02), (6000, 0.01), (20_000, 0.02)])
def test_a_quiet_scene_at_a_usual_rate_is_not_held(count: int, frames: int, scatter: float) -> None:
    """Medians of so many frames agree by themselves, and one rate in thirty is a usual one."""
    for seed in range(4):
        found = judge(quiet(count, fps=100.0, frames=frames, scatter=scatter, seed=seed))
        assert all("rate-cap" not in kinds(faults) for faults in found.values())


@pytest.mark.parametrize("fps", [100.0, 95.0])
def test_nor_are_five_takes_whose_medians_agree_no_closer_than_their_frames_scatter(fps: float) -> None:
    found = judge(quiet(5, fps=fps, frames=2000, scatter=0.02))
    assert held(found) == set()


def test_frames_that_pile_up_at_a_usual_rate_are_held_though_many_are_quicker() -> None:
    """A limiter that two runs share on and off, for three seconds at a time: no stretch of it is long."""
    runs = []
    for i in range(1, 3):
        rng, free = np.random.default_rng(i), take(i, fps=130.0)
        parts = [
            part
            for k in range(8)
            for part in (10.0 * (1 + 0.0004 * rng.standard_normal(300)), free[200 * k : 200 * (k + 1)])
        ]
        runs.append(run(str(i), np.concatenate(parts)))
    found = judge(runs)
    assert held(found) == {"1", "2"}
    assert only(found["1"], "rate-cap").numbers["route"] == 4


def test_two_quiet_setups_with_one_median_are_told_why_they_are_not_held() -> None:
    four = quiet(4, fps=100.0, frames=2000, scatter=0.02)
    found = judge(four[:2], Company(test=GAME, peers=(tuple(four[2:]),), study_spread=STUDY))
    fault = only(found["1"], "rate-cap")
    assert fault.severity is Severity.NOTE
    assert "frames do not pile up there as they do at a limiter" in plain(fault.evidence)


def moving_at(fps: float, count: int, first: int = 0) -> list[Candidate]:
    """Runs of a moving scene whose medians are all at one rate, and no stretch of them is."""
    runs = []
    for i in range(first, first + count):
        times = take(i, fps=fps)
        runs.append(run(str(i), times * (1000 / fps / np.median(times))))
    return runs


def test_two_setups_with_one_median_are_told_and_not_held() -> None:
    """Setups that differ in nothing that matters to the test have one median too."""
    runs = moving_at(87.0, 6)
    found = judge(runs[:3], Company(test=GAME, peers=(tuple(runs[3:]),), study_spread=STUDY))
    fault = only(found["0"], "rate-cap")
    assert held(found) == set()
    assert all("rate-cap" in kinds(faults) for faults in found.values())
    assert (fault.severity, fault.title) == (Severity.NOTE, "A shared cap?")
    assert "no run stands still at that rate" in plain(fault.evidence)


def test_one_setup_alone_with_one_median_in_a_moving_scene_is_not_even_told() -> None:
    assert all("rate-cap" not in kinds(f) for f in judge(moving_at(87.0, 5)).values())


def test_setups_with_medians_of_their_own_share_nothing() -> None:
    peers = (tuple(moving_at(88.0, 3, first=3)),)
    found = judge(moving_at(87.0, 3), Company(test=GAME, peers=peers, study_spread=STUDY))
    assert all("rate-cap" not in kinds(faults) for faults in found.values())
