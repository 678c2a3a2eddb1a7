"""Student's quantiles for many states at once, most of which stand on the same degrees of freedom."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from evenhand.stats.special_functions import special
from evenhand.stats.spread import Floats


def alike(df: Floats) -> bool:
    """Whether all states stand on the same degrees of freedom, as where every boot has every test."""
    return df.size > 0 and bool((df == df.flat[0]).all())


def quantiles(df: Floats, p: float) -> Floats:
    """Student's t at the probability `p`, shape of `df`; each df is worked out once, most being alike.

    >>> quantiles(np.array([4.0, 4.0, 8.0]), 0.975).round(3).tolist()
    [2.776, 2.776, 2.306]
    """
    if alike(df):
        return np.full(df.shape, quantile(float(df.flat[0]), p))
    each, place = np.unique(df, return_inverse=True)
    return np.asarray(special.stdtrit(each, p)[place].reshape(df.shape))


@lru_cache(maxsize=4096)  # asked again and again for the few degrees of freedom of a study
def quantile(df: float, p: float) -> float:
    """Student's t at the probability `p`."""
    return float(special.stdtrit(df, p))
