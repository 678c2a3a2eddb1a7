from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import (
    ALONE,
    GAME,
    cell,
    held,
    judge,
    kinds,
    only,
    plain,
    run,
    take,
    with_first,
)

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Candidate, Company


def capped(
    name: str, fps: float, *, seed: int = 1, free_fps: float = 165.0, jitter: float = 0.0005
) -> Candidate:
    """A take that would run free, held at a rate by a limiter that corrects itself."""
    times = take(seed, fps=free_fps)
    shake = 1000 / fps * jitter * np.random.default_rng(seed).standard_normal(times.size)
    line = 1000 / fps + np.diff(shake, prepend=0.0)
    held = np.round(np.maximum(times, line), 4)
    return run(name, held[np.cumsum(held) <= 30_000])


def test_a_run_capped_at_143_9_among_siblings_at_165_is_in_doubt() -> None:
    found = judge(with_first(cell(fps=165.0), capped("1", 143.9)))
    fault = only(found["1"], "rate-cap")
    assert held(found) == {"1"}
    assert kinds(found["1"]) == {"rate-cap"}
    assert fault.severity is Severity.IN_DOUBT
    assert fault.numbers["rate_fps"] == pytest.approx(143.9, rel=2e-3)
    assert plain(fault.evidence).startswith("Held at 143.9 fps, a usual refresh rate (144): ")


def test_what_siblings_spend_past_the_line_is_told_as_the_least_of_them() -> None:
    runs = with_first(cell(fps=165.0), capped("1", 155.0))
    told = plain(only(judge(runs)["1"], "rate-cap").evidence)
    assert re.search(r"; every sibling spends at least [3-9]\d % of its run past it\.$", told), told
    all_past = plain(only(judge(with_first(cell(fps=165.0), capped("1", 100.0)))["1"], "rate-cap").evidence)
    assert all_past.endswith("; every sibling spends all of its run past it.")


def test_hitches_part_no_held_stretch() -> None:
    times = capped("1", 131.0).trace
    assert times is not None
    frames = times.frame_times_ms.copy()
    frames[200::390] *= 4
    fault = only(judge(with_first(cell(fps=165.0), run("1", frames)))["1"], "rate-cap")
    (place,) = fault.places
    assert (place.from_s, place.to_s) == pytest.approx((0.0, 30.3), abs=0.6)


@pytest.mark.parametrize("jitter", [0.0, 0.001, 0.005])
def test_a_limiter_may_shake(jitter: float) -> None:
    found = judge(with_first(cell(fps=165.0), capped("1", 143.9, jitter=jitter)))
    assert "rate-cap" in kinds(found["1"])


def test_a_cap_at_no_usual_rate_is_found_beside_its_siblings() -> None:
    assert "rate-cap" in kinds(judge(with_first(cell(fps=165.0), capped("1", 131.0)))["1"])


def test_a_cap_that_is_active_for_part_of_the_run_is_found() -> None:
    for fps in (165.0, 172.0):
        found = judge(with_first(cell(fps=165.0), capped("1", fps)))
        assert "rate-cap" in kinds(found["1"]), fps


def test_a_cap_that_all_runs_share_is_found_in_all_of_them() -> None:
    found = judge([capped(str(i), 120.0, seed=i) for i in range(4)])
    assert held(found) == {"0", "1", "2", "3"}


def test_a_single_run_at_a_usual_rate_is_found_and_a_free_one_is_not() -> None:
    assert "rate-cap" in kinds(judge([capped("1", 60.0)])["1"])
    assert judge([run("1", take(1, fps=165.0))])["1"] == ()


@pytest.mark.parametrize("noise", [0.002, 0.003, 0.005, 0.01])
def test_a_still_scene_is_not_a_cap(noise: float) -> None:
    rates = (97.0, 97.6, 96.5, 98.1, 97.2)
    runs = [run(str(i), take(i, fps=f, noise=noise, still=True)) for i, f in enumerate(rates)]
    assert held(judge(runs)) == set()


def test_a_slow_run_of_a_still_scene_is_odd_not_capped() -> None:
    rates = (97.0, 97.6, 96.5, 98.1, 84.1)
    runs = [run(str(i), take(i, fps=f, noise=0.003, still=True)) for i, f in enumerate(rates)]
    assert kinds(judge(runs)["4"]) == {"odd-level"}


def test_a_scene_with_quiet_stretches_is_not_a_cap() -> None:
    steps = np.repeat([0.0, 0.10, 0.02, 0.20, 0.0, 0.05], 500)
    rates = (87.0, 86.4, 87.9, 86.8, 87.5)
    noise = [np.exp(steps + 0.0011 * np.random.default_rng(i).standard_normal(3000)) for i in range(5)]
    runs = [run(str(i), 1000 / f * x) for i, (f, x) in enumerate(zip(rates, noise, strict=True))]
    assert held(judge(runs)) == set()


def test_alternating_frames_are_not_a_limiter_that_corrects_itself() -> None:
    rates = (206.0, 204.4, 205.1)
    runs = [
        run(str(i), take(i, fps=f, noise=0.004, still=True) * np.where(np.arange(round(30 * f)) % 2, 1, 1.1))
        for i, f in enumerate(rates)
    ]
    assert held(judge(runs)) == set()
    assert held(judge(runs[:1])) == set()


def test_a_cap_in_a_still_scene_is_found_where_it_cuts() -> None:
    rates = (97.0, 97.6, 96.5, 98.1)
    runs = [run(str(i), take(i, fps=f, noise=0.005, still=True)) for i, f in enumerate(rates)]
    cut = run("cut", np.maximum(take(9, fps=97.3, noise=0.005, still=True), 1000 / 97.3))
    assert "rate-cap" in kinds(judge([*runs, cut])["cut"])


def test_low_rates_and_short_runs_are_judged_too() -> None:
    runs = [run(str(i), take(i, fps=34.0, seconds=11.0)) for i in range(4)]
    assert held(judge(runs)) == set()
    slow = capped("0", 30.0, free_fps=34.0)
    assert slow.trace is not None
    short = run("0", slow.trace.frame_times_ms[:330])
    assert "rate-cap" in kinds(judge(with_first(runs, short))["0"])


def test_a_declared_rate_is_only_noted() -> None:
    locked = Company(test=replace(GAME, locked_fps=60.0))
    found = judge([capped(str(i), 60.0, seed=i) for i in range(3)], locked)
    assert held(found) == set()
    assert [only(found[str(i)], "rate-cap").severity for i in range(3)] == [Severity.NOTE] * 3


def test_another_rate_than_the_declared_one_is_a_fault() -> None:
    locked = Company(test=replace(GAME, locked_fps=60.0))
    runs = [capped(str(i), 60.0, seed=i) for i in range(1, 4)]
    found = judge([capped("0", 50.0, seed=9), *runs], locked)
    assert held(found) == {"0"}
    assert {"rate-cap", "lock-missed"} <= kinds(found["0"])


def test_good_runs_of_many_scenes_are_not_called_capped() -> None:
    for seed in range(0, 60, 5):
        fps = 30.0 + 4 * seed
        runs = [run(str(i), take(seed + i, fps=fps * (1 + 0.004 * i))) for i in range(5)]
        assert all("rate-cap" not in kinds(faults) for faults in judge(runs, ALONE).values()), fps


@pytest.mark.parametrize("noise", [0.0015, 0.002, 0.0025])
def test_frames_that_alternate_in_a_still_scene_are_not_held_at_a_line(noise: float) -> None:
    def alternating(name: str, fps: float) -> Candidate:
        scatter = noise * np.random.default_rng(int(name)).standard_normal(3251)
        return run(name, 1000 / fps * np.exp(0.03 * (-1.0) ** np.arange(3251) + scatter))

    cell = [alternating(name, fps) for name, fps in (("1", 72.4), ("2", 72.42), ("3", 72.5))]
    assert "rate-cap" not in kinds(judge(cell)["1"])
