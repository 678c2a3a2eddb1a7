"""Whether a series that should stay level does: limits for the next value, and a drift along the whole."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.special_functions import special

FALSE_ALARM = 0.0027
"""Of a value that belongs: that of three standard deviations of a normal law (Shewhart 1931)."""

FEWEST = 3  # earlier values, from which limits can be had at all
DRIFTS = 0.01  # two-sided p of a slope that is called a drift


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One value with the limits that those before it set; None where there were fewer than three."""

    value: float
    centre: float | None = None
    low: float | None = None
    high: float | None = None

    @property
    def outside(self) -> bool:
        """Whether it lies outside its limits."""
        return self.low is not None and self.high is not None and not self.low <= self.value <= self.high


@dataclass(frozen=True, slots=True, kw_only=True)
class Drift:
    """The slope of a series over its times, its interval at 95 %, and p of none."""

    slope: float
    low: float
    high: float
    p: float


def self_started(values: npt.ArrayLike) -> tuple[Judged, ...]:
    """Each value, in order of time, against all before it that were inside their own limits.

    mean ± t(k−1)·s·√(1 + 1/k): the prediction interval of one more value at a false alarm of .0027, as in
    self-starting charts (Hawkins 1987, "Self-starting CUSUM charts for location and scale"). Limits of an
    individuals chart (mean ± 2.66 moving ranges, Shewhart 1931) are made for long series: set from a few
    values they widen by no t, and raise more false alarms than stated.

    >>> seen = self_started([0.0, 0.01, -0.01, 0.0, 0.2])
    >>> [judged.outside for judged in seen]
    [False, False, False, False, True]
    """
    kept: list[float] = []
    told = []
    for value in map(float, np.asarray(values, float)):
        judged = _against(kept, value)
        told.append(judged)
        if not judged.outside:
            kept.append(value)
    return tuple(told)


def _against(before: list[float], value: float) -> Judged:
    k = len(before)
    if k < FEWEST:
        return Judged(value=value)
    centre = math.fsum(before) / k
    s = math.sqrt(math.fsum((x - centre) ** 2 for x in before) / (k - 1))
    reach = float(special.stdtrit(k - 1, 1.0 - FALSE_ALARM / 2.0)) * s * math.sqrt(1.0 + 1.0 / k)
    return Judged(value=value, centre=centre, low=centre - reach, high=centre + reach)


def drift(values: npt.ArrayLike, times: npt.ArrayLike) -> Drift | None:
    """The straight line through a series: slope ± t(n−2)·se; None for fewer than four values or one time.

    Limits: values are taken to be independent and the drift straight; a step is told by `self_started`.

    >>> found = drift([0.0, 0.011, 0.019, 0.031, 0.040], [0, 1, 2, 3, 4])
    >>> round(found.slope, 3), found.p < 0.001
    (0.01, True)
    """
    y, t = np.asarray(values, float), np.asarray(times, float)
    if y.size < FEWEST + 1 or np.ptp(t) == 0.0:
        return None
    centred = t - t.mean()
    spread = float(centred @ centred)
    slope = float(centred @ y) / spread
    rest = y - y.mean() - slope * centred
    se = math.sqrt(float(rest @ rest) / (y.size - 2) / spread)
    if not se > 0:
        return None
    half = float(special.stdtrit(y.size - 2, 0.975)) * se
    p = 2.0 * float(special.stdtr(y.size - 2, -abs(slope) / se))
    return Drift(slope=slope, low=slope - half, high=slope + half, p=p)
