"""How many more runs would settle a question, if spread and difference stay as they are."""

from __future__ import annotations

import math
from dataclasses import dataclass

from evenhand.stats.between import two_sided_p, welch_df
from evenhand.stats.special_functions import special

MOST_RUNS = 12  # a side, in all: past this a plan is better changed than lengthened


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """An open question: log difference, variance of a run on each side, runs so far, and the bars to clear.

    `alpha` is the level that p, times `hypotheses` (Holm's factor), has to fall below; `level_alpha` that of
    each of the two one-sided tests for level. `margin` and `allowance` are logs; `welch` asks for Welch's
    degrees of freedom; `most` is the number of runs a side, in all, that one would make.
    """

    d: float
    var_a: float
    var_b: float
    n_a: int
    n_b: int
    margin: float
    alpha: float
    allowance: float = 0.0
    hypotheses: int = 1
    prior_df: float = 0.0
    paired: bool = False
    welch: bool = False
    most: int = MOST_RUNS
    level_alpha: float = 0.05


def more_runs(question: Question) -> int | None:
    """The fewest further runs a side that would make it level or ahead, or None where `most` would not.

    A plan, not a promise: it takes difference and spread at their present values.

    >>> more_runs(Question(d=0.015, var_a=2e-4, var_b=2e-4, n_a=3, n_b=3, margin=0.0296, alpha=0.05))
    4
    """
    room = question.most - max(question.n_a, question.n_b)
    return next((more for more in range(1, room + 1) if settles_with(question, more)), None)


def settles_with(q: Question, more: int) -> bool:
    """Whether so many further runs a side would settle it, if difference and spread stay as they are.

    >>> settles_with(Question(d=0.0, var_a=1e-4, var_b=1e-4, n_a=3, n_b=3, margin=0.03, alpha=0.05), 2)
    True
    """
    n_a, n_b = q.n_a + more, q.n_b + more
    se, df = math.sqrt(q.var_a / n_a + q.var_b / n_b), _df(q, n_a, n_b)
    if abs(q.d) + float(special.stdtrit(df, 1.0 - q.level_alpha)) * se + q.allowance < q.margin:
        return True
    return two_sided_p(q.d, se, df, allowance=q.allowance) * q.hypotheses < q.alpha


def _df(q: Question, n_a: int, n_b: int) -> float:
    if q.welch:
        return welch_df(q.var_a / n_a, q.var_b / n_b, n_a, n_b)
    return q.prior_df + (min(n_a, n_b) - 1 if q.paired else n_a + n_b - 2)
