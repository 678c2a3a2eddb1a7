"""What boots of one machine leave of those of another that they are held against, as across a bridge."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from evenhand.stats.boots import Boots
from evenhand.stats.spread import Floats


def less_boots(
    own: tuple[Floats, Boots],
    beside: tuple[Floats, Boots],
    *,
    at: Sequence[int],
    unlike: Sequence[bool] | None = None,
) -> tuple[Floats, Boots]:
    """One side's means and boots, less those of other boots in the columns `at`, whose errors add.

    Degrees of freedom by Satterthwaite 1946 for boots that scatter alike: n and m of them have
    (1/n + 1/m)² / (1/(n²(n−1)) + 1/(m²(m−1))). In columns of `at` that are `unlike`, by what each scatters:
    (v + u)² / (v²/(n−1) + u²/(m−1)), v and u the variances of both means.

    >>> from evenhand.stats.boots import boots_of
    >>> side = boots_of([[0.02, 0.05], [0.04, 0.07]])
    >>> means, made = less_boots(side, boots_of([[0.01], [0.03]]), at=[1])
    >>> means.round(3).tolist(), made.squares.round(6).tolist(), made.runs.tolist()
    ([0.03, 0.04], [[0.0001, 0.0001], [0.0001, 0.0002]], [2.0, 3.0])
    """
    columns = np.asarray(at, int)
    (means, boots), (others, bridge) = own, beside
    means, squares, runs = means.copy(), boots.squares.copy(), boots.runs.copy()
    means[columns] -= others
    squares[np.ix_(columns, columns)] += bridge.squares
    n, m = runs[columns], bridge.runs
    v, u = boots.squares.diagonal()[columns], bridge.squares.diagonal()
    apart = np.asarray(np.zeros(len(columns)) if unlike is None else unlike, bool) & (v + u > 0)
    v, u = np.where(apart, v, 1 / n), np.where(apart, u, 1 / m)
    runs[columns] = 1.0 + (v + u) ** 2 / (v**2 / (n - 1) + u**2 / (m - 1))
    return means, Boots(squares=squares, runs=runs)
