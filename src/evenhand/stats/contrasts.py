"""Weighted sums of cell means of logs, each with its error: effects of a design, sums of shifts, slopes."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.between import UNEQUAL_TEST, Difference, Rule
from evenhand.stats.designs import Change, Design, span_of
from evenhand.stats.special_functions import special
from evenhand.stats.spread import Floats, moderate


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Means:
    """Samples of logs, one a cell, reduced: means, sample variances (0 for one run) and runs, shape (S,).

    `variance` on `df` is pooled over the cells, Σ(n−1)s² / Σ(n−1). `uneven` says that one cell is so much
    noisier than the others together that they must not be pooled.
    """

    means: Floats
    variances: Floats
    runs: Floats
    variance: float
    df: float
    uneven: bool


def means_of(logs: Sequence[npt.ArrayLike]) -> Means:
    """Cells of one test, each with one log or more.

    Uneven: for a cell with repeats P(F(n−1, rest) > s²/pooled rest), times the number of such cells, < .01.

    >>> made = means_of([[0.01, 0.03], [0.00, 0.02], [0.05, 0.07]])
    >>> made.means.round(3).tolist(), round(made.variance, 6), made.df, made.uneven
    ([0.02, 0.01, 0.06], 0.0002, 3.0, False)
    """
    samples = [np.asarray(values, float) for values in logs]
    runs = np.array([x.size for x in samples], float)
    # Equal runs have no spread at all, where a mean would leave dust.
    spread = [float(x.var(ddof=1)) if x.size > 1 and np.ptp(x) > 0 else 0.0 for x in samples]
    variances, dfs = np.array(spread), runs - 1.0
    squares, df = dfs * variances, float(dfs.sum())
    return Means(
        means=np.array([x.mean() for x in samples]), variances=variances, runs=runs,
        variance=float(squares.sum()) / df if df else 0.0, df=df, uneven=_uneven(squares, dfs),
    )  # fmt: skip


def _uneven(squares: Floats, dfs: Floats) -> bool:
    rest_squares, rest_dfs = squares.sum() - squares, dfs.sum() - dfs
    asked = (dfs > 0) & (rest_dfs > 0) & (squares > 0)
    if not asked.any():
        return False
    own, rest = squares[asked] / dfs[asked], rest_squares[asked] / rest_dfs[asked]
    ratio = np.divide(own, rest, out=np.full(own.size, np.inf), where=rest > 0)
    p = special.fdtrc(dfs[asked], rest_dfs[asked], np.minimum(ratio, 1e300))
    return bool(p.min() * asked.sum() < UNEQUAL_TEST)


def contrasts(tests: Sequence[Means], weights: Sequence[npt.ArrayLike]) -> tuple[Difference, ...]:
    """Σ w·mean in each test, its weights in the order of its cells: shape (S_t,), 0 for a cell left out.

    var = v·Σw²/n with v moderated over the tests (`spread.moderate`); where a test is uneven
    var = Σw²s²/n by itself, on Satterthwaite's degrees of freedom (1946). Tests must hold one kind of
    replicate. A difference of two setups is w = (1, −1), and agrees with `between.differences` there.

    >>> four = means_of([[0.0, 0.02], [0.05, 0.07], [0.01, 0.03], [0.10, 0.12]])
    >>> found = contrasts([four], [[1, -1, -1, 1]])[0]
    >>> round(found.d, 3), round(found.se, 3), found.df
    (0.04, 0.02, 4.0)
    """
    if not tests:
        return ()
    lent = moderate([m.variance for m in tests], [m.df for m in tests])
    found = []
    for i, (m, given) in enumerate(zip(tests, weights, strict=True)):
        w = np.asarray(given, float)
        if m.uneven and np.all(m.runs[w != 0] > 1):
            found.append(_unpooled(m, w))
        else:
            variance, df, prior = float(lent.variances[i]), float(lent.dfs[i]), float(lent.prior_dfs[i])
            found.append(_pooled(m, w, variance=variance, df=df, prior=prior))
    return tuple(found)


def _pooled(m: Means, w: Floats, *, variance: float, df: float, prior: float) -> Difference:
    d, scale = float(w @ m.means), float((w**2 / m.runs).sum())
    if not df or not variance > 0:
        return Difference(d=d, se=None, df=0.0, rule=Rule.NONE, plain_se=None, plain_df=0.0)
    one_run = bool(np.any(m.runs[w != 0] < 2))
    rule = Rule.BORROWED if one_run else Rule.MODERATED if prior else Rule.OWN
    plain_se, plain_df = (math.sqrt(m.variance * scale), m.df) if m.df else (None, 0.0)
    return Difference(
        d=d, se=math.sqrt(variance * scale), df=df, rule=rule,
        plain_se=plain_se, plain_df=plain_df, prior_df=prior,
    )  # fmt: skip


def _unpooled(m: Means, w: Floats) -> Difference:
    there = w != 0
    parts = (w**2 * m.variances / m.runs)[there]
    d, total = float(w @ m.means), float(parts.sum())
    if not total > 0:
        return Difference(d=d, se=None, df=0.0, rule=Rule.NONE, plain_se=None, plain_df=0.0)
    df = 1.0 / float(((parts / total) ** 2 / (m.runs[there] - 1.0)).sum())
    se = math.sqrt(total)
    return Difference(d=d, se=se, df=df, rule=Rule.WELCH, plain_se=se, plain_df=df)


def weights_of(design: Design, changes: Sequence[Change]) -> Floats:
    """The weight of every row's mean in the least-squares estimate of a joint effect, shape (rows,).

    c'(X'X)⁻X', every row alike whatever its runs, so that what is estimated does not hang on who was run
    more often. In a full 2×2 this is the mean of both orders. Only for what `designs.is_estimable`.

    >>> rows = (("p0", "g0"), ("p1", "g0"), ("p0", "g1"), ("p1", "g1"))
    >>> full = Design(factors=("processor", "graphics"), rows=rows)
    >>> (weights_of(full, [Change(factor="processor", low="p0", high="p1")]) + 0.0).round(9).tolist()
    [-0.5, 0.5, -0.5, 0.5]
    """
    span = span_of(design, changes)
    matrix = np.array([span.vector(row) for row in design.rows], float)
    weights: Floats = np.linalg.pinv(matrix).T @ np.array(span.joint(changes), float)
    weights[np.abs(weights) < _DUST] = 0.0
    return weights


_DUST = 1e-12  # weights are ratios of small whole numbers: less is what rounding leaves of a 0


def interaction_weights(design: Design, first: Change, second: Change) -> Floats | None:
    """The weight of every row's mean in y11 − y10 − y01 + y00, averaged over all such squares; None without.

    A square is four rows with the four pairs of levels in which every other factor cancels.

    >>> rows = (("p0", "g0"), ("p1", "g0"), ("p0", "g1"), ("p1", "g1"))
    >>> full = Design(factors=("processor", "graphics"), rows=rows)
    >>> p, g = Change(factor="processor", low="p0", high="p1"), Change(factor="graphics", low="g0", high="g1")
    >>> interaction_weights(full, p, g).tolist()
    [1.0, -1.0, -1.0, 1.0]
    """
    at = design.factors.index(first.factor), design.factors.index(second.factor)
    corners = [
        [i for i, row in enumerate(design.rows) if (row[at[0]], row[at[1]]) == (x, y)]
        for x, y in ((first.low, second.low), (first.high, second.low), (first.low, second.high),
                     (first.high, second.high))
    ]  # fmt: skip
    squares = [
        (i, j, k, m) for i in corners[0] for j in corners[1] for k in corners[2] for m in corners[3]
        if _cancels(design, (i, m), (j, k), at)
    ]  # fmt: skip
    if not squares:
        return None
    weights = np.zeros(len(design.rows))
    for square in squares:
        weights[list(square)] += np.array([1.0, -1.0, -1.0, 1.0]) / len(squares)
    return weights


def _cancels(design: Design, plus: tuple[int, int], minus: tuple[int, int], at: tuple[int, int]) -> bool:
    """Whether every factor but these two has the same levels on both sides of the sum."""
    sides = [
        [[design.rows[i][f] for i in side] for side in (plus, minus)] for f in range(len(design.factors))
    ]
    return all(sorted(x) == sorted(y) for f, (x, y) in enumerate(sides) if f not in at)
