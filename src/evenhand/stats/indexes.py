"""One number over many tests, all on logs: for these tests, for boots, for tests as a sample."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.boots import boots_of
from evenhand.stats.special_functions import special
from evenhand.stats.weighing import Columns, Weighed, shares, weigh


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
    columns = Columns(d=np.asarray(d, float), se=np.asarray(se, float), df=np.asarray(df, float))
    return _one(weigh(columns, np.asarray(weights, float)[None, :]))


def boot_index(boots_a: npt.ArrayLike, boots_b: npt.ArrayLike, *, weights: npt.ArrayLike) -> IndexEstimate:
    """The index from one index per boot: logs in shapes (boots_a, T) and (boots_b, T), nan where missing.

    Complete: t over the boots' weighted means, n_a+n_b−2 degrees of freedom. A boot may lack a test; how that
    enters, and what is done where the sides differ, stands at `weighing.boots_of` and `weighing.weigh`.

    Keeps its level when the runs of one boot share an error, which `fixed_index` does not.

    >>> e = boot_index([[0.02, 0.04], [0.0, 0.02]], [[0.0, 0.0], [0.01, 0.01]], weights=[1, 1])
    >>> round(e.d, 3), e.df
    (0.015, 2.0)
    """
    (means_a, a), (means_b, b) = boots_of(boots_a), boots_of(boots_b)
    return _one(weigh(Columns(d=means_a - means_b, boots=(a, b)), np.asarray(weights, float)[None, :]))


def _one(weighed: Weighed) -> IndexEstimate:
    return IndexEstimate(d=float(weighed.d[0]), se=float(weighed.se[0]), df=float(weighed.df[0]))


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
