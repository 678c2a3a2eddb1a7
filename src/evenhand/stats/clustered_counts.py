"""Counts of events that come in clusters: more spread than the Poisson law allows."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from evenhand.stats.special_functions import special

Floats = npt.NDArray[np.float64]

_NEARLY_POISSON = 1e-9


def at_least(count: int, mean: float, variance: float) -> float:
    """P(K ≥ count) for a negative binomial count of this mean and variance.

    With size r = mean²/(variance − mean) and share s = mean/(mean + r) the tail is the regularised
    incomplete beta function I_s(count, r) (Johnson, Kemp and Kotz 2005, "Univariate discrete distributions",
    section 5.6). A variance not above the mean gives the Poisson law. Raises `ValueError` for a negative
    count or mean.

    >>> round(at_least(8, 2.0, 2.0), 6), round(at_least(8, 2.0, 4.0), 6)
    (0.001097, 0.019531)
    """
    if count < 0 or not mean >= 0:
        raise ValueError(f"no law for {count} events where {mean} are expected")
    if count == 0:
        return 1.0
    if mean == 0:
        return 0.0
    excess = variance - mean
    if excess <= _NEARLY_POISSON * mean:
        return float(special.gammainc(count, mean))
    size = mean**2 / excess
    return float(special.betainc(count, size, mean / (mean + size)))


def excess_dispersion(counts: Floats, exposures: Floats) -> tuple[float, float]:
    """How far counts of one rate scatter beyond Poisson: (φ, weight), where var = mean + φ·mean².

    `counts`, `exposures`: shape (n,). Moments: with μ_i = exposure_i · Σcounts/Σexposures and
    h_i = exposure_i/Σexposures, φ = (Σ(k−μ)² − Σμ(1−h)) / Σμ²(1−h), which may come out below 0. The weight,
    in runs, is (n−1)·(μφ⁺/(1+μφ⁺))² with φ⁺ = max(φ, 0.05) at the mean count μ: few events tell little of
    how they scatter, unless they scatter wildly. (0, 0) for fewer than two counts or none at all.

    >>> phi, weight = excess_dispersion(np.array([100.0, 160.0, 70.0]), np.ones(3))
    >>> round(phi, 3), round(weight, 2)
    (0.164, 1.8)
    """
    total, watched = counts.sum(), exposures.sum()
    if counts.size < 2 or total <= 0 or watched <= 0:
        return 0.0, 0.0
    mean = exposures * total / watched
    left = 1 - exposures / watched
    phi = float((((counts - mean) ** 2).sum() - (mean * left).sum()) / (mean**2 * left).sum())
    told = float(mean.mean()) * max(phi, LEAST_TOLD)
    return phi, (counts.size - 1) * (told / (1 + told)) ** 2


LEAST_TOLD = 0.05
"""The dispersion below which a weight is not taken for smaller."""


def pooled_dispersion(told: Sequence[tuple[float, float]], *, least: float) -> float:
    """One dispersion from several, each with its weight; never below `least`.

    >>> round(pooled_dispersion([(0.2, 1.0), (0.05, 3.0)], least=0.01), 4)
    0.0875
    """
    weights = sum(weight for _, weight in told)
    return max(sum(phi * weight for phi, weight in told) / weights, least) if weights > 0 else least
