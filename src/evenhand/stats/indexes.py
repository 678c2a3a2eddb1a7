"""One number over many tests, all on logs: for these tests, for boots, for tests as a sample."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import special

from evenhand.stats.spread import Floats

UNEQUAL_BOOTS = 0.01  # as between.UNEQUAL_TEST, for the boots of the two sides
UNLIKE_BOOTS = 0.5  # sides that differ by less, through a run set aside, still count as alike in boots


@dataclass(frozen=True, slots=True, kw_only=True)
class IndexEstimate:
    """A weighted mean of log differences with its standard error and degrees of freedom."""

    d: float
    se: float
    df: float

    def half_width(self, level: float) -> float:
        """Half the width of the two-sided interval at `level`."""
        return self.se * float(special.stdtrit(self.df, 0.5 + level / 2.0))


@dataclass(frozen=True, slots=True, kw_only=True)
class SampleOfTests:
    """Tests as a sample of what could have been run: mean, its error, and that of one test not run."""

    mean: float
    se: float
    predicted_se: float
    df: float

    def half_widths(self, level: float) -> tuple[float, float]:
        """Half the widths at `level`: of the mean over all such tests, and of one test not run."""
        t = float(special.stdtrit(self.df, 0.5 + level / 2.0))
        return t * self.se, t * self.predicted_se


def shares(weights: npt.ArrayLike) -> Floats:
    """Weights as shares of 1, shape (T,). Raises ValueError where one is negative or all are 0."""
    w = np.asarray(weights, float)
    if w.size == 0 or not np.isfinite(w).all() or (w < 0).any() or w.sum() <= 0:
        raise ValueError("weights must be finite and not negative, and one of them above 0")
    total: Floats = w / w.sum()
    return total


def fixed_index(
    d: npt.ArrayLike, se: npt.ArrayLike, df: npt.ArrayLike, *, weights: npt.ArrayLike
) -> IndexEstimate:
    """The index of exactly these tests: weighted mean of log differences, all shapes (T,).

    var = Σw²·se²; df by Satterthwaite 1946: var² / Σ((w²se²)²/df). Give the errors *without*
    borrowing: moderated ones share one learned spread, and their sum covers 91 %.

    Limits: errors must be independent between tests; with boots that share an error use `boot_index`.

    >>> e = fixed_index([0.02, 0.04], [0.01, 0.01], [4, 4], weights=[1, 1])
    >>> round(e.d, 3), round(e.se, 5), e.df
    (0.03, 0.00707, 8.0)
    """
    w = shares(weights)
    parts = w**2 * np.asarray(se, float) ** 2
    var = float(parts.sum())
    pull = float((parts**2 / np.asarray(df, float)).sum())
    mean = float((w * np.asarray(d, float)).sum())
    return IndexEstimate(d=mean, se=math.sqrt(var), df=var**2 / pull if pull else 0.0)


def boot_index(boots_a: npt.ArrayLike, boots_b: npt.ArrayLike, *, weights: npt.ArrayLike) -> IndexEstimate:
    """The index from one index per boot: logs in shapes (boots_a, T) and (boots_b, T), nan where missing.

    Complete: t over the boots' weighted means, n_a+n_b−2 degrees of freedom. A boot that lacks a test adds
    its other tests' part alone: V = Σ_k (Σ_t w_t·r_kt·√(n_t/(n_t−1))/n_t)² with r the residual from the
    test's own mean (the cluster-robust variance of Liang & Zeger 1986 with its small-sample factor by
    test; complete boots give s²/n exactly), on the weighted mean of n_t less one degrees of freedom.
    Where the sides differ in boots or clearly in spread: degrees of freedom by Satterthwaite.

    Keeps its level when the runs of one boot share an error, which `fixed_index` does not.

    >>> e = boot_index([[0.02, 0.04], [0.0, 0.02]], [[0.0, 0.0], [0.01, 0.01]], weights=[1, 1])
    >>> round(e.d, 3), e.df
    (0.015, 2.0)
    """
    w = shares(weights)
    mean_a, var_a, df_a = _boot_side(np.asarray(boots_a, float), w)
    mean_b, var_b, df_b = _boot_side(np.asarray(boots_b, float), w)
    df = df_a + df_b
    if abs(df_a - df_b) > UNLIKE_BOOTS or _boots_uneven(var_a, var_b, df_a, df_b):
        df = (var_a + var_b) ** 2 / (var_a**2 / df_a + var_b**2 / df_b) if var_a + var_b > 0 else df
    return IndexEstimate(d=mean_a - mean_b, se=math.sqrt(var_a + var_b), df=df)


def _boot_side(logs: Floats, w: Floats) -> tuple[float, float, float]:
    there = np.isfinite(logs)
    runs = there.sum(axis=0)
    means = np.where(there, logs, 0.0).sum(axis=0) / runs
    residuals = np.where(there, logs - means, 0.0)
    by_boot = residuals @ (w / np.sqrt(runs * (runs - 1.0)))
    return float(w @ means), float(by_boot @ by_boot), float(w @ runs) - 1.0


def _boots_uneven(var_a: float, var_b: float, df_a: float, df_b: float) -> bool:
    if var_a <= 0 or var_b <= 0:
        return var_a != var_b
    upper = float(special.fdtrc(df_a, df_b, var_a / var_b))
    return 2.0 * min(upper, 1.0 - upper) < UNEQUAL_BOOTS


def sample_of_tests(d: npt.ArrayLike, *, weights: npt.ArrayLike) -> SampleOfTests | None:
    """Tests as a sample of what could be run: s is the spread of d over tests, shape (T,), T ≥ 2, else None.

    se of the mean = s·√Σw²; of one test not run = s·√(1+Σw²); both with t on T−1. s is taken without
    weights: weights say what matters, not what is known better.

    Limits: the tests must be like those one wishes to speak of; s holds the run-to-run error too.

    >>> t = sample_of_tests([0.00, 0.04, 0.08], weights=[1, 1, 1])
    >>> round(t.mean, 3), [round(h, 3) for h in t.half_widths(0.95)]
    (0.04, [0.099, 0.199])
    """
    x = np.asarray(d, float)
    if x.size < 2:
        return None
    w = shares(weights)
    s, squares = float(x.std(ddof=1)), float((w**2).sum())
    return SampleOfTests(
        mean=float((w * x).sum()), se=s * math.sqrt(squares), predicted_se=s * math.sqrt(1.0 + squares),
        df=x.size - 1.0,
    )  # fmt: skip
