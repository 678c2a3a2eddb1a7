"""Evidence that stays valid however often one looks."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import integrate, stats

from evenhand.stats.anytime import EFFECT_SCALE, anytime_half_width, t_e_value


def test_it_is_the_bayes_factor_of_a_normal_prior_on_the_standardised_difference() -> None:
    n, t = 5, 3.1
    weight, df = n * n / (2 * n), 2 * n - 2

    def weighed(delta: float) -> float:
        return float(
            stats.nct.pdf(t, df, delta * math.sqrt(weight)) * stats.norm.pdf(delta, scale=EFFECT_SCALE)
        )

    by_hand = integrate.quad(weighed, -20, 20)[0] / stats.t.pdf(t, df)
    assert t_e_value(t * 0.01, 0.01, df, weight=weight) == pytest.approx(by_hand, rel=1e-6)


def test_looking_after_every_run_it_is_rarely_deceived() -> None:
    rng = np.random.default_rng(11)
    deceived = sum(_ever_excluded(rng) for _ in range(1000))
    assert deceived / 1000 <= 0.05


def _ever_excluded(rng: np.random.Generator) -> bool:
    a, b = rng.standard_normal((2, 30))
    for n in range(2, 31):
        se = math.sqrt((a[:n].var(ddof=1) + b[:n].var(ddof=1)) / n)
        if t_e_value(a[:n].mean() - b[:n].mean(), se, 2 * n - 2, weight=n / 2) >= 20:
            return True
    return False


def test_the_interval_ends_where_the_evidence_reaches_its_bar() -> None:
    half = anytime_half_width(0.01, 14.0, weight=4.0, alpha=0.01)
    assert t_e_value(half, 0.01, 14.0, weight=4.0) == pytest.approx(100.0)


def test_with_too_few_runs_nothing_is_excluded() -> None:
    assert anytime_half_width(0.01, 2.0, weight=1.0, alpha=0.001) == math.inf
