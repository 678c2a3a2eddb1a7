from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest
from tests.triage.cells import run, take

from evenhand.records.faults import Place
from evenhand.triage.features import features
from evenhand.triage.limits.rates import CapLimits
from evenhand.triage.quiet import chunks, noise_within, stretch

LIMITS = CapLimits()


def test_chunks_cover_the_run_in_half_seconds() -> None:
    pieces = chunks(features(run("1", np.full(1030, 10.0))), LIMITS)
    assert pieces.middles.size == pieces.noise.size == 20
    assert pieces.begins_s == pytest.approx(0.5 * np.arange(21))


@pytest.mark.parametrize("frames", [0, 1, 2, 7])
def test_short_runs_have_none(frames: int) -> None:
    assert chunks(features(run("1", np.full(frames, 10.0))), LIMITS).noise.size == 0


def test_a_quiet_stretch_is_found_across_a_hitch() -> None:
    times = take(1)
    times[1000:2000] = 10.0
    times[1500] = 80.0
    found = stretch(chunks(features(run("1", times)), LIMITS), 0.03, LIMITS)
    assert found is not None
    assert len(found.held) == 1
    assert found.held_s == pytest.approx(10.0, abs=1.2)
    assert found.noise == 0


def test_a_quiet_stretch_that_drifts_is_none() -> None:
    times = take(1)
    times[1000:2000] = np.linspace(9.0, 11.0, 1000)
    assert stretch(chunks(features(run("1", times)), LIMITS), 0.03, LIMITS) is None


def test_noise_beyond_the_end_is_unknown() -> None:
    pieces = chunks(features(run("1", take(1))), LIMITS)
    assert np.isnan(noise_within(pieces, [Place(from_s=100.0, to_s=110.0)]))
    assert noise_within(pieces, [Place(from_s=5.0, to_s=10.0)]) == pytest.approx(0.028, rel=0.2)


def test_parts_slower_than_the_line_do_not_end_a_stretch_and_quicker_ones_do() -> None:
    def held(between: float) -> Sequence[Place]:
        times = take(1)
        times[500:2300] = 10.0
        times[1000:1300] = between * np.exp(0.03 * np.random.default_rng(2).standard_normal(300))
        found = stretch(chunks(features(run("1", times)), LIMITS), 0.03, LIMITS)
        assert found is not None
        return found.held

    first, second = held(12.0)
    assert first.to_s - first.from_s == pytest.approx(5.0, abs=1.2)
    assert second.to_s - second.from_s == pytest.approx(10.0, abs=1.2)
    assert second.from_s - first.to_s == pytest.approx(3.6, abs=1.2)
    (only,) = held(8.5)
    assert only.to_s - only.from_s == pytest.approx(10.0, abs=1.2)
