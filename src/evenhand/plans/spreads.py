"""How far runs will lie apart, from what was seen so far: this study, earlier ones, or a stated default."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from evenhand.plans.power import Scatter
from evenhand.stats.spread import PRIOR_DF, learn_spread, moderate

DEFAULT_SD = 0.01  # of logs: runs of a scripted scene on one machine lie 0.5 to 1.5 % apart

Known: TypeAlias = tuple[float, float]
"""A variance of log headlines between runs, and its degrees of freedom."""


class Source(StrEnum):
    """Where the expected spread of a test comes from."""

    OWN = "its runs so far"
    OTHERS = "the study's other tests"
    PAST = "earlier studies"
    DEFAULT = "taken to be 1 %"


@dataclass(frozen=True, slots=True, kw_only=True)
class Expected:
    """The spread to expect in one test, and where that comes from.

    `odd` are the runs that carry a spread by themselves, `rest` how far the others lie apart (sd of logs).
    """

    scatter: Scatter
    source: Source
    odd: tuple[str, ...] = ()
    rest: float | None = None


def expected_spreads(
    tests: Sequence[str], *, own: Mapping[str, Known], past: Mapping[str, Known]
) -> dict[str, Expected]:
    """For each test: its own runs, drawn to the other tests'; else earlier studies; else the other tests.

    Where nothing is known, 1 %. Several tests lend each other degrees of freedom: as many as they were seen
    to lend, or 3 before any was seen.

    >>> told = expected_spreads(("a", "b"), own={"a": (1.44e-4, 8.0)}, past={})
    >>> round(told["a"].scatter.sd, 3), told["b"].source
    (0.012, <Source.OTHERS: "the study's other tests">)
    """
    seen = {test: own[test] for test in tests if test in own and own[test][0] > 0 and own[test][1] > 0}
    lent_df = PRIOR_DF if len(tests) > 1 else 0.0
    drawn = moderate([v for v, _ in seen.values()], [df for _, df in seen.values()]) if seen else None
    found: dict[str, Expected] = {}
    for test in tests:
        if test in seen and drawn is not None:
            i = list(seen).index(test)
            scatter = Scatter(sd=math.sqrt(drawn.variances[i]), lent_df=max(float(drawn.prior_dfs[i]), 0.0))
            found[test] = Expected(scatter=scatter, source=Source.OWN)
        else:
            found[test] = _without_runs(test, list(seen.values()), past, lent_df)
    return found


def _without_runs(test: str, others: Sequence[Known], past: Mapping[str, Known], lent_df: float) -> Expected:
    variance, df = past.get(test, (0.0, 0.0))
    if variance > 0 and df > 0:
        return Expected(scatter=Scatter(sd=math.sqrt(variance), lent_df=lent_df), source=Source.PAST)
    common = learn_spread(*zip(*others, strict=True), for_new_test=True) if others else None
    if common is not None:
        sd = math.sqrt(common.variance)
        return Expected(scatter=Scatter(sd=sd, lent_df=common.df), source=Source.OTHERS)
    return Expected(scatter=Scatter(sd=DEFAULT_SD, lent_df=lent_df), source=Source.DEFAULT)
