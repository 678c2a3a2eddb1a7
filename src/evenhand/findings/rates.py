"""One setup's own number in each test, with an interval from its repeats; for showing, never for ranking."""

from __future__ import annotations

import math
import sys
from collections.abc import Sequence

import numpy as np

from evenhand.findings.finding import Cell
from evenhand.findings.outcomes import SHOWN_INTERVAL
from evenhand.records.estimates import Estimate
from evenhand.stats.special_functions import special
from evenhand.stats.spread import moderate

LARGEST_LOG = math.log(sys.float_info.max)
LEAST_LOG = math.log(sys.float_info.min)


def rate_estimates(cells: Sequence[Cell], *, unit: str) -> tuple[Estimate | None, ...]:
    """For each cell the geometric mean of its runs and a t interval; None where no run counts.

    `cells` are of one setup and one metric over several tests: they lend each other their spread, as
    in `evenhand.stats.spread.moderate`. An error that all runs of a boot share is not in the interval,
    so two overlapping or separate intervals say nothing about a difference: ask `compare_study`.

    >>> from evenhand.findings.finding import Observation
    >>> runs = tuple(Observation(run=str(i), value=v) for i, v in enumerate((99.0, 100.0, 101.0)))
    >>> cell = Cell(test="t", setup="s", metric="fps", better="higher", observations=runs)
    >>> made = rate_estimates([cell], unit="fps")[0]
    >>> round(made.value, 1), round(made.low, 1), round(made.high, 1)
    (100.0, 97.5, 102.5)
    """
    logs = [np.log([o.value for o in cell.observations if o.value > 0]) for cell in cells]
    dfs = [max(len(values) - 1, 0) for values in logs]
    spread = moderate([float(np.var(v, ddof=1)) if len(v) > 1 else 0.0 for v in logs], dfs)
    return tuple(
        _estimate(values, variance=float(spread.variances[i]), df=float(spread.dfs[i]), unit=unit)
        for i, values in enumerate(logs)
    )


def _estimate(logs: np.ndarray, *, variance: float, df: float, unit: str) -> Estimate | None:
    if not len(logs):
        return None
    mean, low, high = float(logs.mean()), None, None
    # One run has no interval of its own here: a borrowed one would look like repeats.
    if len(logs) > 1 and df > 0 and math.isfinite(variance):
        half = float(special.stdtrit(df, 0.5 + SHOWN_INTERVAL / 2)) * math.sqrt(variance / len(logs))
        low, high = _number(mean - half), _number(mean + half)
    return Estimate(
        value=_number(mean),
        unit=unit,
        low=low,
        high=high,
        level=SHOWN_INTERVAL,
        n=len(logs),
        method="moderated t over runs, geometric mean",
    )


def _number(log: float) -> float:
    """The number of this logarithm: what runs read, however large, and of an interval what a float holds."""
    return math.exp(min(max(log, LEAST_LOG), LARGEST_LOG))
