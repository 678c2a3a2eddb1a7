"""How two setups stand for an audience, under many weightings, prices and margins at once."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.findings.outcomes import LEVEL_INTERVAL, SHOWN_INTERVAL
from evenhand.stats.mixing import Mix, weigh_mixed
from evenhand.stats.spread import Flags, Floats
from evenhand.stats.weighing import Weighed, shares, weigh_each
from evenhand.verdicts.grounds import PairGrounds

Codes = npt.NDArray[np.int8]
Counts = npt.NDArray[np.int64]

# Codes of an outcome for a over b, and of value: who is named, or nobody.
AHEAD, BEHIND, LEVEL, UNSETTLED = 1, -1, 0, 2
BY_VALUE_A, BY_VALUE_B, VALUE_LEVEL, VALUE_UNKNOWN = 1, -1, 0, 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Summed:
    """A pair under M weightings, shapes (M,), in logs: `d` above 0 where a is better.

    `se` is nan where no spread is known; `single` marks weightings that lean on a single run, of which an
    interval is shown and nothing called.
    """

    d: Floats
    se: Floats
    df: Floats
    allowance: Floats
    single: Flags

    @property
    def half_shown(self) -> Floats:
        """Half the 95 % interval; nan where none is known."""
        return self._weighed.half_widths(SHOWN_INTERVAL)

    @property
    def half_held(self) -> Floats:
        """Half the 90 % interval that is held against the margin; nan where nothing may be called."""
        return np.where(self.single, math.nan, self._weighed.half_widths(LEVEL_INTERVAL))

    @property
    def p(self) -> Floats:
        """Two-sided p against all within the allowance, not yet adjusted; nan where nothing may be called."""
        return np.where(self.single, math.nan, self._weighed.p_values(allowance=self.allowance))

    def only(self, places: Counts) -> Summed:
        """Some of the M."""
        return Summed(
            d=self.d[places], se=self.se[places], df=self.df[places], allowance=self.allowance[places],
            single=self.single[places],
        )  # fmt: skip

    def at(self, place: int) -> Summed:
        """One of the M."""
        return self.only(np.array([place]))

    def repeated(self, times: int) -> Summed:
        """Each of the M so many times in turn."""
        return Summed(
            d=np.repeat(self.d, times), se=np.repeat(self.se, times), df=np.repeat(self.df, times),
            allowance=np.repeat(self.allowance, times), single=np.repeat(self.single, times),
        )  # fmt: skip

    @property
    def _weighed(self) -> Weighed:
        return Weighed(d=self.d, se=self.se, df=self.df)

    def priced(self, share: npt.ArrayLike, paid: npt.ArrayLike) -> Summed:
        """The same with a share of the whole weight on the price, `paid` being the log of a's over b's.

        What is paid is known, so that the error shrinks as its share grows.
        """
        rest = 1.0 - np.asarray(share, float)
        d = rest * self.d - (1.0 - rest) * np.asarray(paid, float)
        return Summed(
            d=d, se=rest * self.se, df=self.df + 0.0 * d,
            allowance=rest * self.allowance, single=self.single & (rest > 0),
        )  # fmt: skip


def sum_each(parts: Sequence[tuple[PairGrounds, npt.ArrayLike]]) -> Summed:
    """Columns of grounds, each under weightings (M, C) with sums above 0, one ground's after the other's."""
    if len(parts) > 1 and any(grounds.columns is None for grounds, _ in parts):
        return joined([sum_each([part]) for part in parts])
    laid = _as_shares([(grounds, np.atleast_2d(np.asarray(w, float))) for grounds, w in parts])
    allowance = np.concatenate([w @ g.allowances for g, w in laid])
    single = np.concatenate([w @ g.single for g, w in laid]) > 0
    columns = [(g.columns, w) for g, w in laid if g.columns is not None]
    if not columns:
        ((grounds, w),) = laid
        none = np.full(len(w), math.nan)
        d = w @ np.array(grounds.plain_d)
        return Summed(d=d, se=none, df=none, allowance=allowance, single=single)
    found = weigh_each(columns)
    se = np.where(found.se > 0, found.se, math.nan)
    return Summed(d=found.d, se=se, df=found.df, allowance=allowance, single=single)


def _as_shares(parts: Sequence[tuple[PairGrounds, Floats]]) -> list[tuple[PairGrounds, Floats]]:
    """Every part's weights as shares of 1; those of as many columns at once."""
    if len({w.shape[1] for _, w in parts}) > 1:
        return [(grounds, shares(w)) for grounds, w in parts]
    ends = np.cumsum([len(w) for _, w in parts])[:-1]
    laid = np.split(shares(np.concatenate([w for _, w in parts])), ends)
    return [(grounds, w) for (grounds, _), w in zip(parts, laid, strict=True)]


def sum_mixed(parts: Sequence[tuple[PairGrounds, Floats]], mix: Mix) -> Summed | None:
    """Several grounds' columns under mixtures of weightings, (Q·K, C) each, one ground's after the other's.

    None where some columns stand apart from boots, or grounds have unlike numbers of them.
    """
    columns = [(grounds.columns, ends) for grounds, ends in parts if grounds.columns is not None]
    found = weigh_mixed(columns, mix) if len(columns) == len(parts) else None
    if found is None:
        return None
    allowance = mix.between(np.concatenate([ends @ grounds.allowances for grounds, ends in parts]))
    single = mix.between(np.concatenate([ends @ grounds.single for grounds, ends in parts])) > 0
    total = mix.between(np.concatenate([ends.sum(axis=1) for _, ends in parts]))
    se = np.where(found.se > 0, found.se, math.nan)
    return Summed(d=found.d, se=se, df=found.df, allowance=allowance / total, single=single)


def joined(parts: Sequence[Summed]) -> Summed:
    """Several sums, one after the other."""
    return Summed(
        d=np.concatenate([s.d for s in parts]), se=np.concatenate([s.se for s in parts]),
        df=np.concatenate([s.df for s in parts]), allowance=np.concatenate([s.allowance for s in parts]),
        single=np.concatenate([s.single for s in parts]),
    )  # fmt: skip


def holm_together(p_values: Sequence[Floats]) -> tuple[Floats, ...]:
    """Holm-adjusted p of several pairs, each of shape (M,): every weighting has a family of its own.

    A pair without a p (nan) takes no part.
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


def outcome_codes(summed: Summed, called: Flags, *, margin: npt.ArrayLike) -> Codes:
    """`findings.outcomes.decide` for many at once: level first, then ahead or behind, else unsettled.

    `called` are those whose adjusted p is low enough; `margin` is a log, one or of any shape that goes with
    (M,).
    """
    return held_codes(summed.d, summed.half_held + summed.allowance, called, margin=margin)


def held_codes(d: Floats, held: Floats, called: Flags, *, margin: npt.ArrayLike) -> Codes:
    """The same by half the interval that is held against the margin, allowance and all; nan where none is."""
    with np.errstate(invalid="ignore"):
        level = np.abs(d) + held < np.asarray(margin, float)
    leads = np.where(called & (d != 0.0), np.sign(d).astype(np.int8), np.int8(UNSETTLED))
    return np.where(level, np.int8(LEVEL), leads)


def value_codes(summed: Summed, paid: npt.ArrayLike) -> Codes:
    """`money.break_even.better_value` for many at once, by the log of what is paid for a over that for b.

    The band is the shown interval, widened by the allowance; its ends are level.
    """
    paid, half = np.asarray(paid, float), summed.half_shown + summed.allowance
    with np.errstate(invalid="ignore"):
        above = np.where(paid > summed.d + half, BY_VALUE_B, VALUE_LEVEL)
        codes = np.where(paid < summed.d - half, BY_VALUE_A, above)
    return np.where(np.isnan(half), VALUE_UNKNOWN, codes).astype(np.int8)


def paid_log(minor_a: npt.ArrayLike, minor_b: npt.ArrayLike, *, fixed_minor: int) -> Floats:
    """The log of what a costs over what b does, both with what must be bought besides.

    >>> round(float(paid_log(99800, 101200, fixed_minor=25000)), 5)
    -0.01116
    """
    a, b = np.asarray(minor_a, float), np.asarray(minor_b, float)
    return np.asarray(np.log(a + fixed_minor) - np.log(b + fixed_minor))
