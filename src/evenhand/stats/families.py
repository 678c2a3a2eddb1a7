"""Many questions asked of one study: p-values adjusted so that the whole family errs rarely."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from evenhand.stats.spread import Floats


def holm(p_values: npt.ArrayLike) -> Floats:
    """Holm-adjusted p-values, shape as given: below α, the family errs with probability at most α.

    Sorted upwards, p_(i)·(m−i+1), made monotone and capped at 1 (Holm 1979). Valid whatever the
    dependence between the tests, so also where they share boots and a learned spread.

    >>> holm([0.01, 0.04, 0.03]).round(3).tolist()
    [0.03, 0.06, 0.06]
    """
    p = np.asarray(p_values, float)
    upwards = np.argsort(p, kind="stable")
    steps = p[upwards] * np.arange(p.size, 0, -1)
    adjusted = np.empty_like(p)
    adjusted[upwards] = np.minimum(np.maximum.accumulate(steps), 1.0)
    return adjusted


def hypotheses_left(p_values: npt.ArrayLike) -> npt.NDArray[np.int64]:
    """By how many each p-value is multiplied in Holm's procedure: those not smaller, itself included.

    >>> hypotheses_left([0.01, 0.04, 0.03]).tolist()
    [3, 1, 2]
    """
    p = np.asarray(p_values, float)
    left: npt.NDArray[np.int64] = (p[None, :] >= p[:, None]).sum(axis=1)
    return left
