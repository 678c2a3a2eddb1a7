"""What residuals that hang together are worth, and the errors of values that were fitted to them."""

from __future__ import annotations

import math

import numpy as np

from evenhand.stats.spread import Floats

SINGULAR = 1e-12  # of the largest: directions that the rows say nothing about


def bandwidth(residuals: Floats) -> int:
    """Over how many rows residuals hang together, by their first autocorrelation (Andrews 1991, Bartlett)."""
    e = residuals - residuals.mean()
    squares = float(e @ e)
    if e.size < 3 or squares == 0:
        return 0
    r = min(max(float(e[1:] @ e[:-1]) / squares, 0.0), 0.97)
    lags = 1.1447 * (4 * r**2 / (1 - r**2) ** 2 * e.size) ** (1 / 3)
    return int(min(math.ceil(lags), e.size // 4))


def memory(residuals: Floats) -> float:
    """How many rows are worth one that stands alone, 1 and more: 1 + 2·Σ of weighted autocorrelations.

    >>> memory(np.tile([1.0, -1.0], 50))
    1.0
    """
    e = residuals - residuals.mean()
    squares = float(e @ e)
    if squares == 0:
        return 1.0
    lags = bandwidth(residuals)
    sums = [(1 - k / (lags + 1)) * float(e[k:] @ e[:-k]) for k in range(1, lags + 1)]
    return max(1.0 + 2 * sum(sums) / squares, 1.0)


def sandwich(slopes: Floats, residuals: Floats) -> Floats:
    """The covariance (p, p) of values fitted by least squares, from slopes (n, p) and residuals (n,).

    (JᵀJ)⁻¹·Σ·(JᵀJ)⁻¹ with Σ the Bartlett-weighted sum over lags of scores J·e, times n/(n − p).
    """
    n, p = slopes.shape
    scale = np.sqrt((slopes**2).sum(axis=0))
    scale[scale == 0] = 1.0
    j = slopes / scale
    scores = j * residuals[:, None]
    lags = bandwidth(residuals)
    middle = scores.T @ scores
    for k in range(1, lags + 1):
        lagged = scores[k:].T @ scores[:-k]
        middle += (1 - k / (lags + 1)) * (lagged + lagged.T)
    bread = np.linalg.pinv(j.T @ j, rcond=SINGULAR, hermitian=True)
    found: Floats = bread @ middle @ bread * (n / max(n - p, 1)) / np.outer(scale, scale)
    return found
