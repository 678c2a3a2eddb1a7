"""Whether variances differ clearly, thousands of twos: their F test, worked out where no bound decides."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from evenhand.stats.quantiles import alike
from evenhand.stats.special_functions import special
from evenhand.stats.spread import Flags, Floats

UNEQUAL_BOOTS = 0.01  # as between.UNEQUAL_TEST, for the boots of the two sides
FEW = 64  # so many tests are sooner made than spared
CLOSE = 1e-6  # so near to a bound the test itself is asked


def clearly_uneven(ratio: Floats, df_a: Floats, df_b: Floats) -> Flags:
    """Whether the two-sided F test calls each ratio of variances, all of shape (M,), at UNEQUAL_BOOTS.

    A ratio of which nothing is known (nan) is not called.

    >>> clearly_uneven(np.array([0.2, 9.0]), np.array([9.0, 9.0]), np.array([19.0, 9.0])).tolist()
    [False, True]
    """
    if alike(df_a) and alike(df_b):
        least, most = _even_ratios(float(df_a.flat[0]), float(df_b.flat[0]))
        return np.asarray((ratio < least) | (ratio > most))
    if ratio.size <= FEW:
        return _tested(ratio, df_a, df_b)
    low, even_from, even_to, high = _bounds(df_a, df_b)
    found = np.asarray((ratio < low) | (ratio > high))
    asked = np.flatnonzero(~found & ~((ratio > even_from) & (ratio < even_to)))
    found[asked] = _tested(ratio[asked], df_a[asked], df_b[asked])
    return found


def _tested(ratio: Floats, df_a: Floats, df_b: Floats) -> Flags:
    upper = special.fdtrc(df_a, df_b, ratio)
    return np.asarray(2.0 * np.minimum(upper, 1.0 - upper) < UNEQUAL_BOOTS)


def _bounds(df_a: Floats, df_b: Floats) -> tuple[float, float, float, float]:
    """Ratios that no state decides by its own degrees of freedom, being called, or not, under all of them.

    Called are those below the first and above the last, not called those between the other two. The upper
    tail of F is I_x(b/2, a/2) with x = 1/(1 + a/b·ratio), which falls as its first number grows, and rises
    with its second and with x: so its ends lie where each of these has its own.
    """
    (a, more_a), (b, more_b) = ((float(df.min()), float(df.max())) for df in (df_a, df_b))
    if not (a > 0 and b > 0 and np.isfinite(more_a) and np.isfinite(more_b)):
        return -np.inf, np.inf, -np.inf, np.inf
    wide, tail = more_a / a * more_b / b, UNEQUAL_BOOTS / 2
    low, even_to = special.fdtri(a, more_b, (tail, 1 - tail)) / wide
    even_from, high = special.fdtri(more_a, b, (tail, 1 - tail)) * wide
    return low * (1 - CLOSE), even_from * (1 + CLOSE), even_to * (1 - CLOSE), high * (1 + CLOSE)


@lru_cache(maxsize=256)  # the boots of a study are a few whole numbers
def _even_ratios(df_a: float, df_b: float) -> tuple[float, float]:
    """Between which ratios of two variances their F test says nothing."""
    least, most = special.fdtri(df_a, df_b, (UNEQUAL_BOOTS / 2, 1 - UNEQUAL_BOOTS / 2))
    return float(least), float(most)
