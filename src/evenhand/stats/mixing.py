"""Mixtures of a few weightings of the same columns, thousands of them without laying any upon the columns."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from evenhand.stats.boots import Boots, of_boots
from evenhand.stats.spread import Floats
from evenhand.stats.weighing import Columns, Weighed, with_own

MANY = 8  # parts of a mixture


@dataclass(frozen=True)  # no slots: what is worked out once is kept beside the field
class Mix:
    """How much of each of K weightings S mixtures have: `of` is (S, K); of Q·K ends they make Q·S."""

    of: Floats

    def between(self, numbers: Floats) -> Floats:
        """What each mixture has of a number that its ends have, (Q·K,), as (Q·S,)."""
        return np.asarray((numbers.reshape(-1, self.of.shape[1]) @ self.of.T).ravel())

    def squared(self, ends: Floats, squares: Floats) -> Floats:
        """The quadratic form of each mixture, from those of its ends, (Q·K, C), with each other.

        `squares` are (C, C), or one for each K ends, (Q, C, C).
        """
        ends = ends.reshape(-1, self.of.shape[1], ends.shape[1])
        forms = (ends @ squares) @ ends.transpose(0, 2, 1)
        if self.of.shape[1] > MANY:  # the table of all twos would be larger than all else together
            return np.concatenate([np.einsum("sk,sk->s", self.of @ form, self.of) for form in forms])
        return np.asarray((forms.reshape(len(ends), -1) @ self._twice.T).ravel())

    @cached_property
    def _twice(self) -> Floats:
        """Each two of a mixture's parts multiplied, (S, K²), for as many quadratic forms as are asked for."""
        return np.asarray((self.of[:, :, None] * self.of[:, None, :]).reshape(len(self.of), -1))


def weigh_mixed(parts: Sequence[tuple[Columns, Floats]], mix: Mix) -> Weighed | None:
    """`weighing.weigh` of every mixture of each part's ends, (Q·K, C), one part's after the other's.

    A mean of mixtures is the mixture of means, and its variance the quadratic form of the mixture in the
    ends' own variances and covariances, which are worked out once. None where a part stands on no boots, or
    parts have unlike numbers of columns. Raises ValueError where a mixture weighs nothing.

    >>> two = (Boots(squares=np.eye(2), runs=np.array([3.0, 3.0])),) * 2
    >>> found = weigh_mixed([(Columns(d=np.array([0.0, 0.4]), boots=two), np.eye(2))],
    ...                     Mix(np.array([[1.0, 0.0], [0.75, 0.25]])))
    >>> found.d.round(3).tolist(), found.se.round(3).tolist(), found.df.tolist()
    ([0.0, 0.1], [1.414, 1.118], [4.0, 4.0])
    """
    boots = [columns.boots for columns, _ in parts if columns.boots]
    if len(boots) < len(parts) or len({len(columns.d) for columns, _ in parts}) > 1:
        return None
    ends = np.concatenate([ends for _, ends in parts])
    total = mix.between(ends.sum(axis=1))
    if (total <= 0).any():
        raise ValueError("weights must not be negative, and one of them above 0")
    times = [len(ends) // mix.of.shape[1] for _, ends in parts]
    sides = [part for side in (0, 1) for part in _side([b[side] for b in boots], times, ends, (mix, total))]
    var, df = of_boots(*sides)
    if any(columns.se is not None for columns, _ in parts):
        own, pull = np.concatenate([_own(columns, ends, mix) for columns, ends in parts], axis=1)
        var, df = with_own(var, df, own / total**2, pull / total**4)
    d = mix.between(np.concatenate([ends @ columns.d for columns, ends in parts]))
    return Weighed(d=d / total, se=np.sqrt(var), df=df)


def _own(columns: Columns, ends: Floats, mix: Mix) -> Floats:
    """The part of columns that stand alone, and their squared parts over their df, shape (2, Q·S), not yet
    shared out: of columns that err together the error is a mixture as well.
    """
    found = np.zeros((2, len(ends) // mix.of.shape[1] * len(mix.of)))
    if columns.se is None or columns.df is None:
        return found
    kin = np.array(columns.kin or range(len(columns.se)))
    for group in np.unique(kin[columns.se > 0]):
        at = kin == group
        part = mix.between(ends[:, at] @ columns.se[at]) ** 2
        found += part, part**2 / columns.df[at].min()
    return found


def _side(
    boots: Sequence[Boots], times: Sequence[int], ends: Floats, mixed: tuple[Mix, Floats]
) -> tuple[Floats, Floats]:
    """One side's variance and degrees of freedom, as `weighing` has them; each boots of so many Q ends."""
    mix, total = mixed
    squares = np.repeat(np.stack([b.squares for b in boots]), times, axis=0)
    # A sum of squares: what is left below 0 is rounding.
    var = np.maximum(mix.squared(ends, squares) / total**2, 0.0)
    runs = np.stack([b.runs for b in boots])
    same = (runs == runs[:, :1]).all(axis=1) & (runs[:, 0] > 0)
    alike = np.repeat(np.repeat(runs[:, 0] - 1.0, times), len(mix.of))
    if same.all():
        return var, alike
    of_ends = np.repeat(np.repeat(runs, times, axis=0), mix.of.shape[1], axis=0)
    on_boots = mix.between((ends * (of_ends > 0)).sum(axis=1))
    with np.errstate(divide="ignore", invalid="ignore"):
        mean = mix.between((ends * of_ends).sum(axis=1)) / on_boots
    unlike = np.where(on_boots > 0, mean - 1.0, 1.0)
    return var, np.where(np.repeat(np.repeat(same, times), len(mix.of)), alike, unlike)
