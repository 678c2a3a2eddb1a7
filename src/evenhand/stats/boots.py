"""What the boots of two sides say of columns of logs, whatever weights are laid upon them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import numpy.typing as npt

from evenhand.stats.spread import Floats
from evenhand.stats.uneven import clearly_uneven

MANY_SETS, FEW_WEIGHTINGS = 4, 4  # so many sets of columns with so few weightings each are weighed together
UNLIKE_BOOTS = 0.5  # sides that differ by less, through a run set aside, still count as alike in boots


@dataclass(frozen=True, slots=True, kw_only=True)
class Boots:
    """What the boots of one side say of C columns: `squares` (C, C) and `runs` (C,).

    The variance of the weighted mean is w·squares·w; a column stands on so many `runs`.
    """

    squares: Floats
    runs: Floats


Sides: TypeAlias = tuple[Boots, Boots]
"""The boots of both sides."""


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


def sides_of(laid: Sequence[tuple[Sides | None, Floats]]) -> Floats:
    """Each side's variance from its boots, and its degrees of freedom, shape (4, M): a's, then b's.

    Both sides' boots of several sets of columns, each under weightings that sum to 1, one set's after the
    other's. Sets that have a few weightings each go together, where they are many.
    """
    few = {i: sides for i, (sides, w) in enumerate(laid) if sides and len(w) <= FEW_WEIGHTINGS}
    if len(few) < MANY_SETS or len({laid[i][1].shape[1] for i in few}) > 1:
        return np.concatenate([_by_side(w, sides) for sides, w in laid], axis=1)
    weights = [laid[i][1] for i in few]
    ends = np.cumsum([len(w) for w in weights])[:-1]
    together = np.split(_together(list(few.values()), weights), ends, axis=1)
    found = dict(zip(few, together, strict=True))
    return np.concatenate(
        [found[i] if i in found else _by_side(w, sides) for i, (sides, w) in enumerate(laid)], axis=1
    )


def _together(sets: Sequence[Sides], weights: Sequence[Floats]) -> Floats:
    """The same of sets that have as many columns each."""
    of, w = np.repeat(np.arange(len(sets)), [len(own) for own in weights]), np.concatenate(weights)
    return np.concatenate([_side_of_each(w, of, [sides[at] for sides in sets]) for at in (0, 1)])


def _side_of_each(w: Floats, of: npt.NDArray[np.intp], boots: Sequence[Boots]) -> Floats:
    """As `_side`, each weighting on the set that it is `of`."""
    squares, runs = (
        np.stack(parts) for parts in ([each.squares for each in boots], [each.runs for each in boots])
    )
    var = np.maximum((np.matmul(w[:, None, :], squares[of])[:, 0] * w).sum(axis=-1), 0.0)
    on_boots = np.where(runs[of] > 0, w, 0.0)
    total = on_boots.sum(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = np.where(total > 0, (on_boots * runs[of]).sum(axis=-1) / total - 1.0, 1.0)
    same = (runs == runs[:, :1]).all(axis=1) & (runs[:, 0] > 0)
    return np.stack([var, np.where(same[of], runs[of, 0] - 1.0, mean)])


def _by_side(w: Floats, boots: Sides | None) -> Floats:
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
        clearly = clearly_uneven(var_a / var_b, df_a, df_b)
    none = (var_a <= 0) | (var_b <= 0)
    return np.asarray(np.where(none, var_a != var_b, clearly))
