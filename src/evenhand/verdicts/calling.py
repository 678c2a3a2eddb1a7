"""Which of several pairs are called beside each other, in many states at once."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from evenhand.findings.outcomes import ALPHA
from evenhand.stats.quantiles import alike, quantile
from evenhand.stats.special_functions import special
from evenhand.stats.spread import Flags, Floats
from evenhand.verdicts.standing import Summed

Reached = npt.NDArray[np.int8]
"""Beside how many pairs, itself among them, a pair would still be called; -1 where it has no p."""

NEVER = float(special.ndtri(1 - ALPHA / 2))  # errors that no degrees of freedom call, not even by itself
CLOSE = 1e-9  # so near to a bound p itself is asked


def called_together(sums: Sequence[Summed]) -> tuple[Flags, ...]:
    """Whether p, adjusted over the pairs of each state (Holm 1979), lies below ALPHA; a family a state."""
    return tuple(called_among(np.stack(np.broadcast_arrays(*(reached(s, len(sums)) for s in sums)))))


def reached(summed: Summed, most: int) -> Reached:
    """Beside how many of at most `most` pairs each state would be called: p < ALPHA / k.

    Where all stand on the same degrees of freedom, the difference is held against the quantiles of those;
    else p is worked out of all that neither the fewest of them nor any number would decide.
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        beyond = (np.abs(summed.d) - summed.allowance) / summed.se
    if alike(summed.df):
        needed = [quantile(float(summed.df.flat[0]), 1 - ALPHA / 2 / k) for k in range(1, most + 1)]
        found = sum((beyond > need).astype(np.int8) for need in needed)
    else:
        found = _reached_apart(beyond, summed.df, most)
    return np.where(np.isfinite(summed.se) & ~summed.single, found, -1).astype(np.int8)


def _reached_apart(beyond: Floats, df: Floats, most: int) -> Reached:
    """The same of states that stand on degrees of freedom of their own, by what they clear in errors."""
    known = df[np.isfinite(beyond)]
    surely = float(special.stdtrit(known.min(), 1 - ALPHA / 2 / most)) if known.size else math.inf
    found = np.where(beyond > surely, most, 0).astype(np.int8)
    asked = np.flatnonzero((beyond > NEVER * (1 - CLOSE)) & (beyond < surely * (1 + CLOSE)))
    p = 2.0 * special.stdtr(df[asked], -beyond[asked])
    found[asked] = sum((p < ALPHA / k).astype(np.int8) for k in range(1, most + 1))
    return found


def called_among(table: Reached) -> npt.NDArray[np.bool_]:
    """Which are called where all have reached so far, shape (pairs, M): Holm's steps from the surest down.

    One more is called while the next reaches as many as are left; those that reach alike go together.
    """
    known = (table >= 0).sum(axis=0, dtype=np.int8)
    left = np.maximum(known, 1)
    for _ in table:
        then = np.maximum(known - (table >= left).sum(axis=0, dtype=np.int8), 1)
        if (then == left).all():
            break
        left = then
    return np.asarray(table >= left)
