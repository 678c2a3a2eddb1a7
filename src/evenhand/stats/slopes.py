"""Slopes of mean logs on logs of something that was set: clocks, pixels."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from evenhand.stats.spread import Floats

RANK = 1e-9  # singular values below this share of the largest: settings that moved together


def slope_weights(settings: npt.ArrayLike) -> tuple[Floats | None, ...]:
    """For each of K settings the weights of S cell means that give its slope beside the others, shape (S,).

    `settings`: logs, shape (S, K). Least squares with a constant, every cell alike: w = row k of (X'X)⁻X'.
    None for a setting whose slope is not known: it did not vary, or only together with others. It is known
    where its own direction lies in the span of the rows (Searle 1971, section 5.4); measured settings are not
    whole numbers, so that span is judged by singular values above 1e-9 of the largest.

    >>> [None if w is None else w.round(6).tolist() for w in slope_weights([[0.0, 1.0], [0.5, 1.0]])]
    [[-2.0, 2.0], None]
    """
    x = np.asarray(settings, float)
    centred = x - x.mean(axis=0)
    _, sizes, directions = np.linalg.svd(centred, full_matrices=False)
    known = directions[sizes > RANK * max(float(sizes.max(initial=0.0)), 1.0)]
    inverse = np.linalg.pinv(centred, rcond=RANK)
    found: list[Floats | None] = []
    for k in range(x.shape[1]):
        own = np.eye(x.shape[1])[k]
        left = own - known.T @ (known @ own)
        found.append(inverse[k] if float(left @ left) < RANK else None)
    return tuple(found)


def sum_weights(weights: Sequence[Floats | None]) -> Floats | None:
    """The weights of the sum of all slopes; None where one of them is not known, or there is none."""
    known = [w for w in weights if w is not None]
    if not known or len(known) < len(weights):
        return None
    total: Floats = np.sum(known, axis=0)
    return total
