"""How runs scatter around the truth: a part that each boot shares, and a part of each run's own."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

BOOT_SD = 0.005
RUN_SD = 0.0138  # before centring, which takes about a fifth of it


def run_effects(good: npt.NDArray[np.bool_], groups: tuple[slice, ...], rng: np.random.Generator) -> Floats:
    """Log effects of one setup's runs, shape (boots, tests); `good` marks the runs that are to be kept.

    The truth is made to come out exactly, and openly so: over its good runs each test's effects add up to
    nothing, and within each group of tests so do each boot's own parts. A boot that lacks a good run has no
    shared part, since what is missing could not cancel. Spread within a cell stays what chance made it,
    about 1.2 %.
    """
    boots = np.where(good.all(axis=1), rng.normal(0.0, BOOT_SD, len(good)), 0.0)
    whole = good.all(axis=1)
    boots[whole] -= boots[whole].mean()
    own = rng.normal(0.0, RUN_SD, good.shape)
    for _ in range(200):  # alternating projections: both sums vanish together
        for group in groups:
            own[:, group] -= _mean(own[:, group], good[:, group], axis=1)
        own -= _mean(own, good, axis=0)
    return own + boots[:, None]


def _mean(values: Floats, good: npt.NDArray[np.bool_], axis: int) -> Floats:
    total = np.where(good, values, 0.0).sum(axis=axis, keepdims=True)
    return np.asarray(total / good.sum(axis=axis, keepdims=True))
