from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import GAME, cell, held, judge, kinds, only, plain, run, take, with_first

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Candidate, Company


def for_a_stretch(name: str, from_s: float, to_s: float, *, fps: float = 80.0, seed: int = 1) -> Candidate:
    """A take at 100 fps with a limiter switched on for some seconds."""
    times = take(seed)
    at_s = np.cumsum(times) / 1000
    shake = 0.0005 * 1000 / fps * np.random.default_rng(seed).standard_normal(times.size)
    line = 1000 / fps + np.diff(shake, prepend=0.0)
    on = (at_s >= from_s) & (at_s < to_s)
    return run(name, np.where(on, np.maximum(times, line), times).round(4))


def lasts_s(from_s: float, to_s: float) -> float:
    """How long the limiter was on: frames take longer while it is."""
    made, free = for_a_stretch("1", from_s, to_s).trace, take(1)
    assert made is not None
    return to_s - from_s + float((made.frame_times_ms - free).sum()) / 1000


@pytest.mark.parametrize(("from_s", "to_s"), [(0.0, 9.0), (10.0, 24.0), (6.0, 30.0)])
def test_a_limiter_that_was_on_for_a_stretch_is_found_and_placed(from_s: float, to_s: float) -> None:
    found = judge(with_first(cell(fps=100.0), for_a_stretch("1", from_s, to_s)))
    fault = only(found["1"], "rate-cap")
    (place,) = fault.places
    assert "1" in held(found)
    assert fault.numbers["route"] == 7
    assert fault.numbers["rate_fps"] == pytest.approx(80.0, rel=2e-3)
    assert place.from_s == pytest.approx(from_s, abs=1.5)
    assert place.to_s == pytest.approx(from_s + lasts_s(from_s, to_s), abs=1.5)
    assert "of the run) frames differ from the one before by" in plain(fault.evidence)


def test_only_the_seconds_at_the_line_are_told_and_marked() -> None:
    """The scene falls below the line from 15.6 s to 17.8 s: nothing is held there."""
    found = judge(with_first(cell(fps=100.0), for_a_stretch("1", 6.0, 24.0, fps=94.0)))
    fault = only(found["1"], "rate-cap")
    first, second = fault.places
    told = plain(fault.evidence)
    assert first.to_s == pytest.approx(15.6, abs=0.6)
    assert second.from_s == pytest.approx(17.8, abs=0.6)
    assert fault.numbers["held_s"] == pytest.approx(sum(p.to_s - p.from_s for p in fault.places))
    assert fault.numbers["held_share"] == pytest.approx(fault.numbers["held_s"] / 32.5, abs=0.01)
    assert f"for {fault.numbers['held_s']:.1f} s in 2 pieces from {first.from_s:.1f} s to" in told


def above_the_scene(seed: int, quantile: float) -> Candidate:
    """A take with a limiter that misses its line by 0.2 %, and that the scene mostly stays below."""
    times, rng = take(seed, seconds=60.0), np.random.default_rng(seed)
    line = np.quantile(times, quantile) * np.exp(0.002 * rng.standard_normal(times.size))
    return run(str(seed), np.maximum(times, line))


def test_a_limiter_that_the_scene_mostly_stays_below_is_found_beside_siblings() -> None:
    """Frames are steady wherever the scene is quick enough, far less than half of the run."""
    runs = [above_the_scene(1, 0.42), *cell(seconds=60.0, fps=100.0)[1:]]
    fault = only(judge(runs)["1"], "rate-cap")
    assert fault.severity is Severity.IN_DOUBT
    assert fault.numbers["route"] == 7
    assert 0.22 <= fault.numbers["held_share"] <= 0.45
    assert len(fault.places) > 2
    assert "slow-stretch" not in kinds(judge(runs)["1"])


def test_but_not_where_it_is_alone_or_siblings_are_as_steady_there() -> None:
    """Then a part of the scene may be so."""
    assert held(judge([above_the_scene(1, 0.42)])) == set()
    alike = [above_the_scene(i, 0.40 + 0.02 * i) for i in range(4)]
    assert all(f.numbers.get("route") != 7 for faults in judge(alike).values() for f in faults)


def test_it_is_found_in_a_run_that_has_no_siblings_too() -> None:
    assert "rate-cap" in kinds(judge([for_a_stretch("1", 8.0, 22.0)])["1"])


def test_a_few_seconds_are_too_short() -> None:
    found = judge(with_first(cell(fps=100.0), for_a_stretch("1", 10.0, 13.0)))
    assert "rate-cap" not in kinds(found["1"])


def test_a_quiet_part_of_the_scene_is_quiet_in_every_run() -> None:
    """Steady to 0.2 %, as a menu may be: all takes have it, so it is the scene."""
    runs = []
    for i in range(4):
        rng = np.random.default_rng(i)
        noise = np.where((np.arange(3000) > 1000) & (np.arange(3000) < 2200), 0.002, 0.03)
        runs.append(run(str(i), 10.0 * (1 + 0.004 * i) * np.exp(noise * rng.standard_normal(3000))))
    assert held(judge(runs)) == set()
    assert held(judge(runs[:1])) == set()


def test_a_declared_limiter_that_was_on_for_a_part_only_was_missed() -> None:
    locked = Company(test=replace(GAME, locked_fps=80.0))
    assert kinds(judge([for_a_stretch("1", 8.0, 20.0)], locked)["1"]) == {"lock-missed"}
