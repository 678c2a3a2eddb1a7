from __future__ import annotations

import numpy as np
import pytest
from tests.triage.cells import run, take

from evenhand.triage.features import features
from evenhand.triage.limits.rates import CapLimits, nearest_rate
from evenhand.triage.plateaus import agreement, densest, pile_up, plateau, same_medians

LIMITS = CapLimits()


def test_the_densest_window_is_found_wherever_it_lies() -> None:
    assert densest(np.array([3.0, 1.0, 3.01, 9.0, 3.02]), 0.05) == 3.01


def test_a_held_run_is_flat_and_piled_up() -> None:
    f = features(run("1", np.maximum(take(1, fps=165.0), 1000 / 150)))
    flat, pile = plateau(f, LIMITS), pile_up(f, LIMITS)
    assert flat is not None
    assert 1000 / np.exp(flat.centre) == pytest.approx(150, rel=1e-3)
    assert flat.quicker == 0
    assert pile.edge < 0.01
    assert pile.contrast > 100


def test_a_free_run_is_neither() -> None:
    f = features(run("1", take(1)))
    flat, pile = plateau(f, LIMITS), pile_up(f, LIMITS)
    assert flat is not None
    assert flat.near < 0.3
    assert pile.share < 0.25
    assert pile.edge > 0.5


def test_too_short_a_run_has_no_plateau() -> None:
    assert plateau(features(run("1", take(1, seconds=3.0))), LIMITS) is None


@pytest.mark.parametrize(
    ("rate", "listed"), [(143.9, 144), (59.98, 60), (59.94, 59.94), (143.0, None), (131.0, None)]
)
def test_usual_rates_are_met_to_0_15_per_cent(rate: float, listed: float | None) -> None:
    assert nearest_rate(rate, LIMITS.listed_within) == listed


def test_equal_medians_are_told_from_like_ones() -> None:
    def made(*rates: float) -> bool:
        runs = [features(run(str(r), take(7, fps=100.0, still=True, noise=0.01) * 100 / r)) for r in rates]
        return same_medians(runs, LIMITS)

    assert made(100.0, 100.04)
    assert not made(100.0, 100.3)


def test_means_of_independent_frames_are_not_taken_for_corrected_ones() -> None:
    """Those near the densest window lie close together because they were cut there, not by a limiter."""
    rng = np.random.default_rng(2)
    measured = [
        plateau(features(run(str(i), 10.0 * (1 + 0.01 * rng.standard_normal(8000)))), LIMITS)
        for i in range(8)
    ]
    ratios = [flat.compensated for flat in measured if flat is not None]
    assert np.median(ratios) == pytest.approx(1.0, abs=0.15)
    assert min(ratios) > LIMITS.compensated


def test_agreement_counts_for_little_where_frames_scatter() -> None:
    """Three medians of 2,000 frames of 2 % are no witness; five of 9,000 frames of 1 % are."""

    def agreed(count: int, frames: int, scatter: float) -> float:
        rng = np.random.default_rng(3)
        times = [10.0 * np.exp(scatter * rng.standard_normal(frames)) for _ in range(count)]
        return agreement([features(run(str(i), own)) for i, own in enumerate(times)], LIMITS)

    assert agreed(3, 2000, 0.02) < np.log(30)
    assert agreed(5, 9000, 0.01) > np.log(LIMITS.same_odds)
