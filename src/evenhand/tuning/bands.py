"""A value with the band that it lies in, and how such bands are made."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from evenhand.stats.special_functions import special
from evenhand.stats.spread import Floats

LEVEL = 0.95
STEP = 1e-4  # by which a value is moved to see what hangs on it


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A value, and from where to where it lies at 95 %; an end is infinite where nothing bounds it."""

    value: float
    low: float
    high: float

    @property
    def half(self) -> float:
        """Half the width of the band."""
        return (self.high - self.low) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What somebody measured or read elsewhere: a value with its standard deviation, 0 for exactly so."""

    value: float
    sd: float = 0.0


def reach(df: float = math.inf) -> float:
    """How many standard errors the band reaches to either side, at so many degrees of freedom.

    >>> round(reach(), 2), round(reach(4.0), 2)
    (1.96, 2.78)
    """
    if math.isinf(df):
        return float(special.ndtri((1 + LEVEL) / 2))
    return float(special.stdtrit(df, (1 + LEVEL) / 2))


def around(value: float, error: float, df: float = math.inf) -> Band:
    """The band of a value with a standard error."""
    half = reach(df) * error
    return Band(value=value, low=value - half, high=value + half)


def around_log(value: float, log_error: float, df: float = math.inf) -> Band:
    """The band of a value above 0 whose logarithm has a standard error."""
    factor = math.exp(min(reach(df) * log_error, 700.0))
    return Band(value=value, low=value / factor, high=value * factor)


def band_of(value: float, draws: Floats) -> Band:
    """The band of a value by draws of it, shape (m,); those that are nan count at neither end."""
    sound = draws[~np.isnan(draws)]
    if not sound.size:
        return Band(value=value, low=-math.inf, high=math.inf)
    low, high = np.quantile(sound, [(1 - LEVEL) / 2, (1 + LEVEL) / 2], method="inverted_cdf")
    return Band(value=value, low=min(float(low), value), high=max(float(high), value))


def slopes(function: Callable[[Floats], Floats], values: Floats) -> Floats:
    """How each of n results changes with each of p values, shape (n, p): differences to both sides."""
    found = []
    for step in np.diag(STEP * np.maximum(np.abs(values), 1e-2)):
        found.append((function(values + step) - function(values - step)) / (2 * step.sum()))
    return np.column_stack(found)


def errors(function: Callable[[Floats], Floats], values: Floats, covariance: Floats) -> Floats:
    """The standard errors of n results of p values with a covariance, shape (n,) (delta method)."""
    by = slopes(function, values)
    found: Floats = np.sqrt(np.maximum(np.einsum("np,pq,nq->n", by, covariance, by), 0.0))
    return found
