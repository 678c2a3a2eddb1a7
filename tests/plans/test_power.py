"""Widths and numbers of runs agree with what drawing such runs gives."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import special

from evenhand.plans.power import Scatter, half_width, power, runs_to_see

EFFECT = math.log(1.03)


@pytest.mark.parametrize(("runs", "alpha"), [(3, 0.05), (5, 0.0205 / 9), (8, 0.0205 / 9)])
def test_power_is_what_drawn_runs_give(runs: int, alpha: float) -> None:
    rng = np.random.default_rng(7)
    a = EFFECT + 0.012 * rng.standard_normal((20_000, runs))
    b = 0.012 * rng.standard_normal((20_000, runs))
    se = np.sqrt((a.var(axis=1, ddof=1) + b.var(axis=1, ddof=1)) / runs)
    t = (a.mean(axis=1) - b.mean(axis=1)) / se
    seen = np.mean(2 * special.stdtr(2 * runs - 2, -t) < alpha)
    assert power(EFFECT, Scatter(sd=0.012), runs, alpha=alpha) == pytest.approx(seen, abs=0.015)


def test_the_runs_needed_are_the_fewest_with_that_power() -> None:
    scatter = Scatter(sd=0.01, lent_df=3.0)
    needed = runs_to_see(EFFECT, scatter, alpha=0.002)
    assert needed is not None
    assert (
        power(EFFECT, scatter, needed, alpha=0.002) >= 0.8 > power(EFFECT, scatter, needed - 1, alpha=0.002)
    )


def test_a_difference_far_below_the_spread_is_not_to_be_seen() -> None:
    assert runs_to_see(0.001, Scatter(sd=0.05), alpha=0.002) is None


def test_twice_the_spread_is_twice_the_width_and_lent_knowledge_narrows() -> None:
    own = half_width(Scatter(sd=0.01), 3)
    assert half_width(Scatter(sd=0.02), 3) == pytest.approx(2 * own)
    assert half_width(Scatter(sd=0.01, lent_df=3.0), 3) < own
    assert own == pytest.approx(2.776445 * 0.01 * math.sqrt(2 / 3), rel=1e-6)
