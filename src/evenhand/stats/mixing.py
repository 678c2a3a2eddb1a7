"""Mixtures of a few weightings of the same columns, thousands of them without laying any upon the columns."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.stats.weighing import Boots, Columns, Weighed, of_boots


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixture:
    """Of every K weightings in turn, S mixtures: `ends` (Q·K, C) and `mix` (S, K), Q·S mixtures in all."""

    ends: Floats
    mix: Floats

    def between(self, numbers: Floats) -> Floats:
        """What each mixture has of a number that its ends have, (Q·K,), as (Q·S,)."""
        return np.asarray((numbers.reshape(-1, self.mix.shape[1]) @ self.mix.T).ravel())

    def squared(self, squares: Floats) -> Floats:
        """The quadratic form of each mixture, from those of its ends with each other."""
        parts = self.mix.shape[1]
        ends = self.ends.reshape(-1, parts, self.ends.shape[1])
        forms = (ends @ squares) @ ends.transpose(0, 2, 1)
        twice = (self.mix[:, :, None] * self.mix[:, None, :]).reshape(len(self.mix), -1)
        return np.asarray((forms.reshape(len(ends), -1) @ twice.T).ravel())


def weigh_mixed(columns: Columns, laid: Mixture) -> Weighed | None:
    """`weighing.weigh` of every mixture; None where a column stands apart from boots.

    A mean of mixtures is the mixture of means, and its variance the quadratic form of the mixture in the
    ends' own variances and covariances, which are worked out once. Raises ValueError where one weighs
    nothing.

    >>> two = (Boots(squares=np.eye(2), runs=np.array([3.0, 3.0])),) * 2
    >>> found = weigh_mixed(Columns(d=np.array([0.0, 0.4]), boots=two),
    ...                     Mixture(ends=np.eye(2), mix=np.array([[1.0, 0.0], [0.75, 0.25]])))
    >>> found.d.round(3).tolist(), found.se.round(3).tolist(), found.df.tolist()
    ([0.0, 0.1], [1.414, 1.118], [4.0, 4.0])
    """
    if columns.boots is None or columns.se is not None:
        return None
    total = laid.between(laid.ends.sum(axis=1))
    if (total <= 0).any():
        raise ValueError("weights must not be negative, and one of them above 0")
    sides = [part for side in columns.boots for part in _side(side, laid, total)]
    var, df = of_boots(*sides)
    return Weighed(d=laid.between(laid.ends @ columns.d) / total, se=np.sqrt(var), df=df)


def _side(side: Boots, laid: Mixture, total: Floats) -> tuple[Floats, Floats]:
    """One side's variance and degrees of freedom, as `weighing` has them."""
    # A sum of squares: what is left below 0 is rounding.
    var = np.maximum(laid.squared(side.squares) / total**2, 0.0)
    if (side.runs == side.runs[0]).all() and side.runs[0] > 0:
        return var, np.full(len(var), side.runs[0] - 1.0)
    on_boots = laid.between(laid.ends @ (side.runs > 0).astype(float))
    with np.errstate(divide="ignore", invalid="ignore"):
        runs = laid.between(laid.ends @ side.runs) / on_boots
    return var, np.where(on_boots > 0, runs - 1.0, 1.0)
