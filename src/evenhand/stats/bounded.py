"""One effect from many small experiments, of which a few may be far noisier than they look."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.special_functions import special

Floats = npt.NDArray[np.float64]

BOUND = 2.0  # no experiment speaks louder than two standard errors
_TAIL = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class Pooled:
    """A common effect with its interval and two-sided p against none; over `cells` experiments."""

    effect: float
    low: float
    high: float
    p: float
    cells: int


def pooled_effect(
    effects: npt.ArrayLike, errors: npt.ArrayLike, dfs: npt.ArrayLike, *, level: float = 0.95
) -> Pooled:
    """The common effect of experiments, shape (m,), each with its standard error and degrees of freedom.

    Each t = (effect − δ)/error becomes the normal score z = Φ⁻¹(T_df(t)), is held to ±2, and weighs error^−½;
    S(δ) = Σaz/√(vΣa²) with v the variance of a normal held so. The estimate solves S = 0, the interval
    S = ±z_level, and p is that of S(0): M-estimation with bounded influence (Huber 1964). Raises `ValueError`
    for no experiment at all or an error that is not above 0.

    Why not the mean by precision: with few degrees of freedom an experiment that scatters widely often looks
    calm, and then decides alone. Eight experiments of three runs, one in eight of them five times as noisy:
    the mean by precision with moderated variances finds an effect that is not there in 16 % of studies at
    p < .0025, this in 0.3 %.

    >>> found = pooled_effect([-0.021, -0.018, -0.025, 0.30], [0.005, 0.006, 0.005, 0.01], [4, 4, 4, 4])
    >>> round(found.effect, 3), found.low < found.effect < found.high
    (-0.019, True)
    """
    c, s, df = (np.asarray(values, float) for values in (effects, errors, dfs))
    if not c.size or not (s > 0).all():
        raise ValueError(f"{c.size} experiments with errors {s} have no common effect")
    weights = s**-0.5
    scale = math.sqrt(held_variance(BOUND) * float(weights @ weights))

    def score(delta: float) -> float:
        below = special.stdtr(df, (c - delta) / s).clip(_TAIL, 1 - _TAIL)
        return float(weights @ special.ndtri(below).clip(-BOUND, BOUND)) / scale

    z = float(special.ndtri(0.5 + level / 2))
    low, effect, high = (_where(score, at, c, s) for at in (z, 0.0, -z))
    return Pooled(
        effect=effect, low=low, high=high, p=2 * float(special.ndtr(-abs(score(0.0)))), cells=c.size
    )


def _where(score: Callable[[float], float], at: float, c: Floats, s: Floats) -> float:
    """The δ at which the score is this; infinite where so few experiments never reach it."""
    from scipy import optimize  # slow to load, and seldom needed

    far = 60 * float(s.max())
    start, end = float(c.min()) - far, float(c.max()) + far
    if score(start) <= at:
        return -math.inf
    if score(end) >= at:
        return math.inf
    return float(optimize.brentq(lambda delta: score(delta) - at, start, end))


def held_variance(bound: float) -> float:
    """The variance of a standard normal value that is held to ± `bound`.

    >>> round(held_variance(2.0), 4)
    0.9205
    """
    density = math.exp(-(bound**2) / 2) / math.sqrt(2 * math.pi)
    return 1 - 2 * (bound * density + (1 - bound**2) * float(special.ndtr(-bound)))
