from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import GAME, judge, kinds, only, plain, run, take

from evenhand.records.faults import Severity
from evenhand.triage.candidate import Company


def test_a_declared_rate_that_is_passed_means_the_limiter_was_off() -> None:
    locked = Company(test=replace(GAME, locked_fps=60.0))
    fault = only(judge([run("1", take(1, fps=70.0))], locked)["1"], "lock-missed")
    assert fault.severity is Severity.IN_DOUBT
    assert not fault.behaviour
    assert "The test declares 60.00 fps" in plain(fault.evidence)


def test_a_declared_rate_that_is_not_reached_may_be_the_machine() -> None:
    locked = Company(test=replace(GAME, locked_fps=120.0))
    fault = only(judge([run("1", take(1, fps=100.0))], locked)["1"], "lock-missed")
    assert fault.behaviour


@pytest.mark.parametrize(("off", "found"), [(0.015, False), (0.025, True)])
def test_a_declared_rate_may_be_missed_by_two_per_cent_on_average(off: float, found: bool) -> None:
    times = np.full(1200, 1000 / 60)
    times[800:1100] *= 1 + 4 * (math.exp(off) - 1)
    locked = Company(test=replace(GAME, locked_fps=60.0))
    assert ("lock-missed" in kinds(judge([run("1", times)], locked)["1"])) is found


def test_where_the_run_is_away_from_the_rate_is_told_and_marked() -> None:
    times = np.full(1800, 1000 / 60)
    times[600:900] = 1000 / 48
    times[100::200] *= 4
    locked = Company(test=replace(GAME, locked_fps=60.0))
    fault = only(judge([run("1", times)], locked)["1"], "lock-missed")
    (place,) = fault.places
    begin_s = times[:600].sum() / 1000
    assert (place.from_s, place.to_s) == pytest.approx(
        (begin_s, begin_s + times[600:900].sum() / 1000), abs=0.6
    )
    assert fault.numbers["away_s"] == pytest.approx(place.to_s - place.from_s)
    assert f"; for {fault.numbers['away_s']:.1f} s (" in plain(fault.evidence)
    assert "of the run) it is more than 1 % away." in plain(fault.evidence)


def test_a_run_that_was_never_at_the_rate_is_marked_from_end_to_end() -> None:
    locked = Company(test=replace(GAME, locked_fps=60.0))
    (place,) = only(
        judge([run("1", take(1, fps=70.0, noise=0.01, still=True))], locked)["1"], "lock-missed"
    ).places
    assert (place.from_s, place.to_s) == pytest.approx((0.0, 30.0), abs=0.6)


@pytest.mark.parametrize("frames", [2, 3, 20])
def test_a_run_of_a_few_frames_has_no_half_second_to_mark(frames: int) -> None:
    locked = Company(test=replace(GAME, locked_fps=60.0))
    fault = only(judge([run("1", np.full(frames, 1000 / 70))], locked)["1"], "lock-missed")
    assert fault.places == ()
    assert plain(fault.evidence).endswith(" in the median.")


def test_hitches_are_no_reason_to_say_that_a_rate_was_not_held() -> None:
    rng = np.random.default_rng(5)
    times = 1000 / 60 + 0.02 * rng.standard_normal(1200)
    times[::80] *= rng.uniform(3, 7, 15)
    locked = Company(test=replace(GAME, locked_fps=60.0))
    assert times.size / times.sum() * 1000 < 0.97 * 60
    assert "lock-missed" not in kinds(judge([run("1", times)], locked)["1"])


def test_a_run_that_missed_the_rate_is_no_witness_of_the_rate_beside_it() -> None:
    locked = Company(test=replace(GAME, locked_fps=60.0))
    rng = np.random.default_rng(5)
    held = [run(str(i), 1000 / 60 * np.exp(0.0002 * rng.standard_normal(1800))) for i in (1, 2)]
    found = judge([*held, run("3", take(3, fps=70.0))], locked)
    assert "lock-missed" in kinds(found["3"])
    note = only(found["1"], "rate-cap")
    assert note.severity is Severity.NOTE
    assert "past it" not in note.evidence
    assert "3" not in note.siblings
