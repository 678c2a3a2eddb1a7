"""Errors that hold where residuals hang together."""

from __future__ import annotations

import numpy as np
import pytest
import statsmodels.api as sm

from evenhand.stats.spread import Floats
from evenhand.tuning.residuals import bandwidth, memory, sandwich


def wandering(n: int, share: float, rng: np.random.Generator) -> Floats:
    steps, e = rng.standard_normal(n), np.zeros(n)
    for k in range(1, n):
        e[k] = share * e[k - 1] + steps[k]
    return e


def test_rows_that_stand_alone_are_worth_one_each() -> None:
    assert memory(np.random.default_rng(1).standard_normal(5000)) == pytest.approx(1.0, abs=0.1)


def test_rows_that_hang_together_are_worth_less() -> None:
    found = memory(wandering(20_000, 0.8, np.random.default_rng(2)))
    assert found == pytest.approx((1 + 0.8) / (1 - 0.8), rel=0.2)


def test_the_sandwich_is_that_of_a_library_for_regression() -> None:
    rng = np.random.default_rng(3)
    x = np.column_stack([np.ones(400), np.linspace(0, 1, 400), rng.standard_normal(400)])
    y = x @ [1.0, 2.0, -1.0] + wandering(400, 0.5, rng)
    plain = sm.OLS(y, x).fit()
    lags = bandwidth(np.asarray(plain.resid))
    theirs = plain.get_robustcov_results("HAC", maxlags=lags, use_correction=True).cov_params()
    assert sandwich(x, np.asarray(plain.resid)) == pytest.approx(theirs, rel=1e-6)


def test_a_direction_that_rows_say_nothing_about_does_no_harm() -> None:
    x = np.column_stack([np.ones(50), np.zeros(50)])
    found = sandwich(x, np.random.default_rng(4).standard_normal(50))
    assert np.isfinite(found).all()
