"""How two setups stand for an audience, under many weightings, prices and margins at once."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.findings.outcomes import ALPHA, LEVEL_INTERVAL, SHOWN_INTERVAL
from evenhand.stats.spread import Floats
from evenhand.stats.weighing import weigh
from evenhand.verdicts.grounds import PairGrounds

Codes = npt.NDArray[np.int8]

# Codes of an outcome for a over b, and of value: who is named, or nobody.
AHEAD, BEHIND, LEVEL, UNSETTLED = 1, -1, 0, 2
BY_VALUE_A, BY_VALUE_B, VALUE_LEVEL, VALUE_UNKNOWN = 1, -1, 0, 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Summed:
    """A pair under M weightings, shapes (M,), in logs.

    `half_shown` and `half_held` are half the 95 % and 90 % intervals, nan where there is none; `p` is not yet
    adjusted (nan likewise).
    """

    d: Floats
    half_shown: Floats
    half_held: Floats
    p: Floats
    df: Floats
    allowance: Floats


def sum_pair(grounds: PairGrounds, weights: npt.ArrayLike) -> Summed:
    """A pair's columns under M weightings, shape (M, C), each with a sum above 0.

    Where a column of a single run has a weight there is an interval to show and none to decide by.
    """
    w = np.atleast_2d(np.asarray(weights, float))
    w = w / w.sum(axis=1, keepdims=True)
    allowance = w @ np.array([ground.allowance for ground in grounds.grounds])
    if grounds.columns is None:
        none = np.full(len(w), math.nan)
        d = w @ np.array(grounds.plain_d)
        return Summed(d=d, half_shown=none, half_held=none, p=none, df=none, allowance=allowance)
    weighed = weigh(grounds.columns, w)
    single = w @ np.array([float(ground.one_run) for ground in grounds.grounds]) > 0
    blind = ~(weighed.se > 0)
    return Summed(
        d=weighed.d,
        half_shown=np.where(blind, math.nan, weighed.half_widths(SHOWN_INTERVAL)),
        half_held=np.where(blind | single, math.nan, weighed.half_widths(LEVEL_INTERVAL)),
        p=np.where(blind | single, math.nan, weighed.p_values(allowance=allowance)),
        df=weighed.df,
        allowance=allowance,
    )


def holm_together(p_values: Sequence[Floats]) -> tuple[Floats, ...]:
    """Holm-adjusted p of several pairs, each of shape (M,): every weighting has a family of its own.

    A pair without a p takes no part.
    """
    table = np.stack(p_values)
    known = np.isfinite(table)
    filled = np.where(known, table, 2.0)  # behind all others, and not counted
    order = np.argsort(filled, axis=0, kind="stable")
    left = known.sum(axis=0) - np.arange(len(table))[:, None]
    steps = np.take_along_axis(filled, order, axis=0) * np.maximum(left, 1)
    adjusted = np.empty_like(table)
    np.put_along_axis(adjusted, order, np.minimum(np.maximum.accumulate(steps, axis=0), 1.0), axis=0)
    return tuple(np.where(k, row, math.nan) for k, row in zip(known, adjusted, strict=True))


def outcome_codes(summed: Summed, p: Floats, *, margin: npt.ArrayLike, alpha: float = ALPHA) -> Codes:
    """`findings.outcomes.decide` for many at once: level first, then ahead or behind, else unsettled.

    `margin` is a log, one or of shape (M,).
    """
    with np.errstate(invalid="ignore"):
        level = np.abs(summed.d) + summed.half_held + summed.allowance < np.asarray(margin, float)
        called = (p < alpha) & (summed.d != 0.0)
    codes = np.where(level, LEVEL, np.where(called, np.sign(summed.d), UNSETTLED))
    return codes.astype(np.int8)


def value_codes(summed: Summed, price_a: npt.ArrayLike, price_b: npt.ArrayLike, *, fixed: int = 0) -> Codes:
    """`money.break_even.better_value` for many prices or weightings at once, on logs of what is paid.

    The band is the shown interval, widened by the allowance.
    """
    paid = np.log((np.asarray(price_a, float) + fixed) / (np.asarray(price_b, float) + fixed))
    half = summed.half_shown + summed.allowance
    with np.errstate(invalid="ignore"):
        codes = np.where(paid < summed.d - half, BY_VALUE_A, np.where(paid > summed.d + half, BY_VALUE_B, 0))
    return np.where(np.isnan(half), VALUE_UNKNOWN, codes).astype(np.int8)
