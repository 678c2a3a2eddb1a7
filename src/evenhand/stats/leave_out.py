"""Each value of a sample against the rest of it: what is left when one value, or two, are taken out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Places = npt.NDArray[np.int64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LeftOut:
    """Values held against the rest of their sample; the arrays have one shape.

    `gaps`: value − mean of the rest. `nearest`: the gap to the nearest of the rest, signed, where all of
    them lie on one side, else 0. `variances`: sample variance of the rest, on `df` degrees of freedom; 0
    where `df` is 0. `rest` is how many there are in it.
    """

    gaps: Floats
    nearest: Floats
    variances: Floats
    rest: int

    @property
    def df(self) -> int:
        """Degrees of freedom of the variances."""
        return self.rest - 1


def leave_one_out(values: npt.ArrayLike) -> LeftOut:
    """Every value of a sample, shape (n,), against the other n − 1; in O(n).

    From sums over the whole sample: with d = x − mean, the rest has mean x − d·n/(n−1), and its sum of
    squares is Σd² − d²·n/(n−1). Raises `ValueError` for fewer than two values.

    >>> told = leave_one_out([1.0, 2.0, 3.0, 9.0])
    >>> told.gaps.round(3).tolist(), told.nearest.tolist(), told.variances.round(3).tolist()
    ([-3.667, -2.333, -1.0, 7.0], [-1.0, 0.0, 0.0, 6.0], [14.333, 17.333, 19.0, 1.0])
    """
    x = np.asarray(values, float)
    if x.size < 2:
        raise ValueError(f"{x.size} values leave nothing to compare with")
    off = x - x.mean()
    grown = x.size / (x.size - 1)
    squares = np.maximum((off**2).sum() - grown * off**2, 0.0)
    return LeftOut(
        gaps=off * grown,
        nearest=_nearest(x),
        variances=squares / max(x.size - 2, 1) if x.size > 2 else np.zeros(x.size),
        rest=x.size - 1,
    )


def _nearest(x: Floats) -> Floats:
    """The largest value is on one side of all others, and so is the smallest; nobody else."""
    order = np.argsort(x, kind="stable")
    nearest = np.zeros(x.size)
    nearest[order[0]] = x[order[0]] - x[order[1]]
    nearest[order[-1]] = x[order[-1]] - x[order[-2]]
    return nearest


def leave_two_out(values: npt.ArrayLike) -> tuple[Places, LeftOut]:
    """Every pair of a sample, shape (n,), against the other n − 2: places of both, shape (k, 2), and each of
    the two against the rest, shape (k, 2); the variances of one row are equal.

    Grows with the cube of n: meant for a dozen values. Raises `ValueError` for fewer than three.

    >>> pairs, told = leave_two_out([1.0, 1.2, 1.1, 9.0, 8.0])
    >>> pairs[-1].tolist(), told.gaps[-1].round(3).tolist(), told.nearest[-1].round(3).tolist()
    ([3, 4], [7.9, 6.9], [7.8, 6.8])
    """
    x = np.asarray(values, float)
    if x.size < 3:
        raise ValueError(f"{x.size} values leave nothing to compare two with")
    pairs = np.stack(np.triu_indices(x.size, 1), axis=1)
    kept = np.ones((len(pairs), x.size), bool)
    np.put_along_axis(kept, pairs, values=False, axis=1)
    rest = np.broadcast_to(x, kept.shape)[kept].reshape(len(pairs), x.size - 2)
    own, low, high = x[pairs], rest.min(axis=1, keepdims=True), rest.max(axis=1, keepdims=True)
    return pairs, LeftOut(
        gaps=own - rest.mean(axis=1, keepdims=True),
        nearest=np.where(own > high, own - high, np.where(own < low, own - low, 0.0)),
        variances=np.repeat(_variance(rest)[:, None], 2, axis=1),
        rest=x.size - 2,
    )


def _variance(rows: Floats) -> Floats:
    """Sample variance of each row; 0 for rows of one value."""
    return rows.var(axis=1, ddof=1) if rows.shape[1] > 1 else np.zeros(len(rows))
