"""Memory that climbs to a ceiling, and a run that hitches from then on."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from tests.triage.cells import Floats, judge, kinds, only, plain, run, take
from tests.triage.sensed import SECONDS, channel

from evenhand.records.layouts import Role
from evenhand.traces.trace import SensorLog
from evenhand.triage.candidate import Candidate

FULL_AT = 70
CLIMBS = np.minimum(6000 + 30.0 * np.arange(SECONDS), 6000 + 30.0 * FULL_AT)


def played(used: Floats, *, hitches_from: int | None, count: int = 12) -> Candidate:
    """Two minutes of play with this use of memory, and hitches from a second on."""
    times = take(3, seconds=float(SECONDS))
    if hitches_from is not None:
        starts = np.searchsorted(np.cumsum(times) / 1000, np.linspace(hitches_from + 1, SECONDS - 2, count))
        times[starts] *= 6
    log = SensorLog(
        time_s=np.arange(float(SECONDS)), channels=(channel(Role.MEMORY, used, "graphics", "MiB"),)
    )
    return replace(run("1", times), sensors=log)


def test_hitches_from_the_moment_memory_is_full_are_told_as_behaviour() -> None:
    fault = only(judge([played(CLIMBS, hitches_from=FULL_AT)])["1"], "memory-full")
    assert fault.behaviour
    assert fault.places[0].from_s == pytest.approx(FULL_AT, abs=2)
    assert plain(fault.evidence).startswith(
        "From 69.0 s the graphics memory stays at 8,100 MiB (42 % of the readings); "
        "0 hitches before that, 12 after"
    )


def test_a_ceiling_without_harm_is_no_fault() -> None:
    assert "memory-full" not in kinds(judge([played(CLIMBS, hitches_from=None)])["1"])


def test_hitches_all_along_do_not_blame_the_memory() -> None:
    assert "memory-full" not in kinds(judge([played(CLIMBS, hitches_from=0, count=24)])["1"])


def test_use_that_is_level_all_along_has_reached_no_ceiling() -> None:
    assert "memory-full" not in kinds(judge([played(np.full(SECONDS, 8100.0), hitches_from=FULL_AT)])["1"])


def test_use_that_falls_again_was_not_full() -> None:
    saw = np.where(np.arange(SECONDS) % 40 < 20, 8100.0, 6000.0)
    assert "memory-full" not in kinds(judge([played(saw, hitches_from=FULL_AT)])["1"])


def test_hitches_that_a_full_memory_explains_are_told_once() -> None:
    calm = [replace(run(str(k), take(k, seconds=float(SECONDS)))) for k in (2, 3)]
    found = judge([played(CLIMBS, hitches_from=FULL_AT, count=26), *calm])["1"]
    assert "memory-full" in kinds(found)
    assert "extra-hitches" not in kinds(found)
