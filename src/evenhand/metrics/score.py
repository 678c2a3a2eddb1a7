"""A run that leaves one number behind."""

from __future__ import annotations

import math

from evenhand.errors import BadRecord
from evenhand.metrics.run_metrics import RunMetrics


def score_metrics(score: float) -> RunMetrics:
    """The metrics of a score run: the score itself, in its test's unit.

    Raises `BadRecord` where the score is not a finite number above zero, since comparisons are ratios.

    >>> dict(score_metrics(12.4).values)
    {'score': 12.4}
    """
    if not (math.isfinite(score) and score > 0):
        raise BadRecord(
            f"a score of {score} cannot be compared as a ratio", todo="write down a number above zero"
        )
    return RunMetrics(values={"score": float(score)})
