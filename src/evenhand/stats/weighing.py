"""Columns of logs that weights may be laid upon again and again, without going back to the runs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.boots import Boots, of_boots, sides_of
from evenhand.stats.quantiles import quantiles
from evenhand.stats.special_functions import special
from evenhand.stats.spread import Floats


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
    var, df = of_boots(*sides_of([(columns.boots, w) for columns, w in laid]))
    if any(columns.boots is None and columns.se is None for columns, _ in laid):
        raise ValueError("columns without boots need a standard error and degrees of freedom each")
    if any(columns.se is not None for columns, _ in laid):
        own, own_pull = np.concatenate([_by_columns(w, columns) for columns, w in laid], axis=1)
        var, df = with_own(var, df, own, own_pull)
    d = np.concatenate([w @ columns.d for columns, w in laid])
    return Weighed(d=d, se=np.sqrt(var), df=df)


def with_own(var: Floats, df: Floats, own: Floats, own_pull: Floats) -> tuple[Floats, Floats]:
    """The boots' variance and degrees of freedom with those of columns that stand alone.

    `own_pull` are the squared parts of `own` over their degrees of freedom (Satterthwaite 1946).
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        pull = np.where(var > 0, var**2 / df, 0.0) + own_pull
        both = np.where(pull > 0, (var + own) ** 2 / pull, 0.0)
    return var + own, np.where(own > 0, both, df)


def shares(weights: npt.ArrayLike) -> Floats:
    """Weights as shares of 1 along the last axis. Raises ValueError where one is negative or all are 0."""
    w = np.asarray(weights, float)
    total = w.sum(axis=-1, keepdims=True)
    if w.size == 0 or not np.isfinite(w).all() or (w < 0).any() or (total <= 0).any():
        raise ValueError("weights must be finite and not negative, and one of them above 0")
    made: Floats = w / total
    return made


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
