"""Columns of logs that weights may be laid upon again and again, without going back to the runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from scipy import special

from evenhand.stats.spread import Floats

UNEQUAL_BOOTS = 0.01  # as between.UNEQUAL_TEST, for the boots of the two sides
UNLIKE_BOOTS = 0.5  # sides that differ by less, through a run set aside, still count as alike in boots


@dataclass(frozen=True, slots=True, kw_only=True)
class Boots:
    """What the boots of one side say of C columns: `squares` (C, C) and `runs` (C,).

    The variance of the weighted mean is w·squares·w; a column stands on so many `runs`.
    """

    squares: Floats
    runs: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Columns:
    """Log differences `d`, shape (C,), with their errors: of boots that columns share, or each its own.

    With `boots` (both sides) the errors of columns go together as they went in the boots; a column that
    stands on no boots has nothing but zeros there. A column apart from boots has the standard error `se[c]`
    on `df[c]` degrees of freedom (0 and any: known exactly), and those with the same number in `kin` are
    taken to err together as far as they can: two numbers of the same runs are no two witnesses.
    """

    d: Floats
    boots: tuple[Boots, Boots] | None = None
    se: Floats | None = None
    df: Floats | None = None
    kin: tuple[int, ...] = ()

    def beside(self, other: Columns) -> Columns:
        """These columns and, behind them, others whose errors have nothing to do with theirs."""
        first, then = self._spelled_out(), other._spelled_out()
        boots = None
        if first.boots or then.boots:
            boots = (_stack(first, then, 0), _stack(first, then, 1))
        past = max(first.kin, default=-1) + 1
        return Columns(
            d=np.concatenate([first.d, then.d]), boots=boots,
            se=_joined(first.se, then.se), df=_joined(first.df, then.df),
            kin=(*first.kin, *(k + past for k in then.kin)),
        )  # fmt: skip

    def _spelled_out(self) -> Columns:
        """The same with errors of its own for every column, 0 for those that stand on boots."""
        size = len(self.d)
        return Columns(
            d=self.d, boots=self.boots,
            se=np.zeros(size) if self.se is None else self.se,
            df=np.ones(size) if self.df is None else self.df,
            kin=self.kin or tuple(range(size)),
        )  # fmt: skip


def _joined(first: Floats | None, then: Floats | None) -> Floats | None:
    return None if first is None or then is None else np.concatenate([first, then])


def _stack(first: Columns, then: Columns, side: int) -> Boots:
    """One side's boots of two sets of columns, which have nothing in common."""
    sizes = (len(first.d), len(then.d))
    squares, runs = np.zeros((sum(sizes), sum(sizes))), np.zeros(sum(sizes))
    for columns, at in ((first, 0), (then, sizes[0])):
        if columns.boots:
            end = at + len(columns.d)
            squares[at:end, at:end] = columns.boots[side].squares
            runs[at:end] = columns.boots[side].runs
    return Boots(squares=squares, runs=runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """Weighted means of M weightings, shapes (M,): log difference, standard error, degrees of freedom."""

    d: Floats
    se: Floats
    df: Floats

    def half_widths(self, level: float) -> Floats:
        """Half the widths of the two-sided intervals at `level`."""
        return np.asarray(self.se * quantiles(self.df, 0.5 + level / 2.0))

    def p_values(self, *, allowance: npt.ArrayLike = 0.0) -> Floats:
        """Two-sided p against every true difference within ± `allowance`, as `between.two_sided_p`."""
        with np.errstate(divide="ignore", invalid="ignore"):
            beyond = -(np.abs(self.d) - np.asarray(allowance, float)) / self.se
        return np.asarray(np.minimum(1.0, 2.0 * special.stdtr(self.df, beyond)))


def alike(df: Floats) -> bool:
    """Whether all states stand on the same degrees of freedom, as where every boot has every test."""
    return df.size > 0 and bool((df == df.flat[0]).all())


def quantiles(df: Floats, p: float) -> Floats:
    """Student's t at the probability `p`, shape of `df`; each df is worked out once, most being alike.

    >>> quantiles(np.array([4.0, 4.0, 8.0]), 0.975).round(3).tolist()
    [2.776, 2.776, 2.306]
    """
    if df.size < 2:
        return np.asarray(special.stdtrit(df, p))
    if alike(df):
        return np.full(df.shape, special.stdtrit(float(df.flat[0]), p))
    each, place = np.unique(df, return_inverse=True)
    return np.asarray(special.stdtrit(each, p)[place].reshape(df.shape))


def boots_of(logs: npt.ArrayLike) -> tuple[Floats, Boots]:
    """Means of the columns and what their boots say, from one side's logs: shape (boots, C), nan for none.

    Complete boots give Student's variance of the boots' weighted means exactly. A boot that lacks a column
    adds its other columns' part alone: V = Σ_k (Σ_c w_c·r_kc·√(n_c/(n_c−1))/n_c)², r the residual from the
    column's own mean (Liang & Zeger 1986, with the small-sample factor by column).
    """
    logs = np.asarray(logs, float)
    there = np.isfinite(logs)
    runs = there.sum(axis=0).astype(float)
    means = np.where(there, logs, 0.0).sum(axis=0) / runs
    residuals = np.where(there, logs - means, 0.0) / np.sqrt(runs * (runs - 1.0))
    return means, Boots(squares=residuals.T @ residuals, runs=runs)


def weigh(columns: Columns, weights: npt.ArrayLike) -> Weighed:
    """The columns under M weightings, shape (M, C), each read as shares of its own sum.

    By boots: t on the boots of both sides, less one a side; by Satterthwaite 1946 where the sides differ in
    boots or clearly in spread. By columns: var = Σ_k (Σ_c in k w_c·se_c)², df = var² / Σ_k part_k²/df_k.
    Raises ValueError where a weight is negative or not finite, or all weights of a row are 0.

    >>> two = Columns(d=np.array([.02, .04]), se=np.array([.01, .01]), df=np.array([4., 4.]), kin=(0, 1))
    >>> w = weigh(two, [[1, 1], [0, 2]])
    >>> w.d.round(3).tolist(), w.se.round(5).tolist(), w.df.tolist()
    ([0.03, 0.04], [0.00707, 0.01], [8.0, 4.0])
    """
    return weigh_each([(columns, shares(weights))])


def weigh_each(laid: Sequence[tuple[Columns, Floats]]) -> Weighed:
    """Several sets of columns, each under weightings that sum to 1, one set's after the other's."""
    sides = np.concatenate([_by_side(w, columns.boots) for columns, w in laid], axis=1)
    var, df = of_boots(*sides)
    if any(columns.boots is None and columns.se is None for columns, _ in laid):
        raise ValueError("columns without boots need a standard error and degrees of freedom each")
    if any(columns.se is not None for columns, _ in laid):
        own, own_pull = np.concatenate([_by_columns(w, columns) for columns, w in laid], axis=1)
        with np.errstate(divide="ignore", invalid="ignore"):
            pull = np.where(var > 0, var**2 / df, 0.0) + own_pull
            both = np.where(pull > 0, (var + own) ** 2 / pull, 0.0)
        var, df = var + own, np.where(own > 0, both, df)
    d = np.concatenate([w @ columns.d for columns, w in laid])
    return Weighed(d=d, se=np.sqrt(var), df=df)


def shares(weights: npt.ArrayLike) -> Floats:
    """Weights as shares of 1 along the last axis. Raises ValueError where one is negative or all are 0."""
    w = np.asarray(weights, float)
    total = w.sum(axis=-1, keepdims=True)
    if w.size == 0 or not np.isfinite(w).all() or (w < 0).any() or (total <= 0).any():
        raise ValueError("weights must be finite and not negative, and one of them above 0")
    made: Floats = w / total
    return made


def _by_side(w: Floats, boots: tuple[Boots, Boots] | None) -> Floats:
    """Each side's variance from its boots, and its degrees of freedom, shape (4, M): a's, then b's."""
    if boots is None:
        return np.stack([np.zeros(len(w)), np.ones(len(w))] * 2)
    return np.stack([*_side(w, boots[0]), *_side(w, boots[1])])


def of_boots(var_a: Floats, df_a: Floats, var_b: Floats, df_b: Floats) -> tuple[Floats, Floats]:
    """The boots' part of the variance, and its degrees of freedom; 0 on 0 where nothing stands on boots."""
    var, df = var_a + var_b, df_a + df_b
    unlike = (np.abs(df_a - df_b) > UNLIKE_BOOTS) | _uneven(var_a, var_b, df_a, df_b)
    with np.errstate(divide="ignore", invalid="ignore"):
        welch = var**2 / (var_a**2 / df_a + var_b**2 / df_b)
    return var, np.where(var > 0, np.where(unlike, welch, df), 0.0)


def _side(w: Floats, side: Boots) -> tuple[Floats, Floats]:
    var = ((w @ side.squares) * w).sum(axis=-1)
    # A sum of squares: what is left below 0 is rounding.
    var = np.maximum(var, 0.0)
    if (side.runs == side.runs[0]).all() and side.runs[0] > 0:
        return var, np.full(len(w), side.runs[0] - 1.0)
    on_boots = np.where(side.runs > 0, w, 0.0)
    total = on_boots.sum(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        df = np.where(total > 0, on_boots @ side.runs / total - 1.0, 1.0)
    return var, df


def _uneven(var_a: Floats, var_b: Floats, df_a: Floats, df_b: Floats) -> npt.NDArray[np.bool_]:
    """Whether the sides differ clearly in spread (two-sided F test), or one of the two has none."""
    with np.errstate(divide="ignore", invalid="ignore"):
        upper = special.fdtrc(df_a, df_b, var_a / var_b)
    none = (var_a <= 0) | (var_b <= 0)
    return np.asarray(np.where(none, var_a != var_b, 2.0 * np.minimum(upper, 1.0 - upper) < UNEQUAL_BOOTS))


def _by_columns(w: Floats, columns: Columns) -> Floats:
    """The part of columns that stand alone, and their squared parts over their df, shape (2, M)."""
    if columns.se is None or columns.df is None:
        return np.zeros((2, len(w)))
    if len(frozenset(columns.kin)) in (0, len(columns.se)):  # each errs by itself
        parts = (w * columns.se) ** 2
        return np.stack([parts.sum(axis=-1), (parts**2 / columns.df).sum(axis=-1)])
    groups = np.array(columns.kin)
    same = np.unique(groups)[:, None] == groups[None, :]  # (K, C)
    parts = ((w * columns.se) @ same.T.astype(float)) ** 2
    # The least of the degrees of freedom within a group of columns that err together.
    least = np.where(same, columns.df, np.inf).min(axis=1)
    return np.stack([parts.sum(axis=-1), (parts**2 / least).sum(axis=-1)])
