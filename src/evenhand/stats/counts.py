"""Counts of events over a stretch of exposure: exact intervals, without a normal approximation.

Limits: both rest on the Poisson law, events that come one by one and independently. Counts of repeated
runs that scatter more than that (variance above the mean) make these intervals too narrow.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from evenhand.stats.special_functions import special


@dataclass(frozen=True, slots=True, kw_only=True)
class RateRatio:
    """The ratio of two event rates, a over b, with its exact interval at `level` and two-sided p.

    `ratio` is infinite where only b has no events, and None where neither has any.
    """

    ratio: float | None
    low: float
    high: float
    level: float
    p: float


def rate_interval(count: int, exposure: float, *, level: float = 0.95) -> tuple[float, float]:
    """The exact central interval of a Poisson rate: events per unit of exposure.

    Source: Garwood 1936, "Fiducial limits for the Poisson distribution": the ends are χ² quantiles with
    2·count and 2·count + 2 degrees of freedom, halved, over the exposure. It covers at least `level`.
    Raises `ValueError` for a negative count or no exposure.

    >>> low, high = rate_interval(0, 24.0)
    >>> low, round(high * 24, 3)
    (0.0, 3.689)
    """
    _check(count, exposure)
    tail = (1 - level) / 2
    low = float(special.gammaincinv(count, tail)) if count else 0.0
    return low / exposure, float(special.gammainccinv(count + 1, tail)) / exposure


def most_of_rate(count: int, exposure: float, *, level: float = 0.95) -> float:
    """The exact upper bound of a Poisson rate: Garwood's upper end with all doubt on one side.

    It is χ²(level; 2·count + 2) / (2·exposure). Raises `ValueError` for a negative count or no exposure.

    >>> round(most_of_rate(0, 24.0), 3), round(most_of_rate(0, 300.0), 3)
    (0.125, 0.01)
    """
    _check(count, exposure)
    return float(special.gammainccinv(count + 1, 1 - level)) / exposure


def compare_rates(
    a: tuple[int, float], b: tuple[int, float], *, level: float = 0.95, under: float = 1.0
) -> RateRatio:
    """The ratio of two Poisson rates, each given as (count, exposure), and the test of `under`.

    Source: Przyborowski and Wilenski 1940: given the sum of both counts, a's count is binomial. The
    interval is Clopper and Pearson's 1934 for that share turned into a ratio; p is twice the smaller
    tail, so that p < 1 − level exactly where the interval leaves `under` out. It covers at least
    `level`. Raises `ValueError` for a negative count, no exposure or a ratio `under` not above zero.

    >>> found = compare_rates((25, 10.0), (10, 10.0))
    >>> found.ratio, round(found.low, 2), round(found.high, 2), round(found.p, 4)
    (2.5, 1.16, 5.83, 0.0167)
    """
    (count_a, exposure_a), (count_b, exposure_b) = a, b
    _check(count_a, exposure_a)
    _check(count_b, exposure_b)
    if not under > 0:
        raise ValueError(f"a ratio of rates cannot be {under}")
    scale = exposure_b / exposure_a
    low, high = _share_interval(count_a, count_b, (1 - level) / 2)
    return RateRatio(
        ratio=_over(count_a, count_b) * scale if count_a + count_b else None,
        low=_over(low, 1 - low) * scale,
        high=_over(high, 1 - high) * scale,
        level=level,
        p=_twice_smaller_tail(count_a, count_b, under / (under + scale)),
    )


def _check(count: int, exposure: float) -> None:
    if count < 0 or not (math.isfinite(exposure) and exposure > 0):
        raise ValueError(f"{count} events over an exposure of {exposure} have no rate")


def _over(a: float, b: float) -> float:
    return a / b if b > 0 else math.inf


def _share_interval(successes: int, failures: int, tail: float) -> tuple[float, float]:
    low = float(special.betaincinv(successes, failures + 1, tail)) if successes else 0.0
    high = float(special.betainccinv(successes + 1, failures, tail)) if failures else 1.0
    return low, high


def _twice_smaller_tail(successes: int, failures: int, share: float) -> float:
    at_least = float(special.betainc(successes, failures + 1, share)) if successes else 1.0
    at_most = float(special.betaincc(successes + 1, failures, share)) if failures else 1.0
    return min(1.0, 2 * min(at_least, at_most))
