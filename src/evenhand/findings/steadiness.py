"""Which anchors stayed as they were, as their control charts tell, for all that stands on them."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from evenhand.findings.control import Control, Session, control_charts
from evenhand.findings.finding import Unsteady
from evenhand.stats.charts import DRIFTS

Place = tuple[str, str]
"""A test, and a machine that was run in it."""


def unsteady_of(sessions: Sequence[Session], anchors: Iterable[str]) -> Mapping[Place, Unsteady]:
    """The anchors whose charts are not at rest, by test; `day` is still to be said, of the runs in question.

    A test whose own chart drifts moves by the far end of its slope's interval. An anchor that drifts one
    way in two of its charts, or in one so surely that it holds over all of them (Bonferroni), is trusted in
    none: its other tests move by the far end of their own slopes, and where there are too few days for one,
    as far as any test that drifts.
    """
    charts = control_charts([session for session in sessions if session.cell.setup in anchors])
    by_machine: dict[str, list[Control]] = {}
    for chart in charts:
        by_machine.setdefault(chart.anchor, []).append(chart)
    found = {
        (test, machine): _unsteady(test, machine, own)
        for machine, own in by_machine.items() for test in dict.fromkeys(chart.test for chart in own)
    }  # fmt: skip
    return {place: each for place, each in found.items() if each.a_day or each.outside}


def _unsteady(test: str, machine: str, charts: Sequence[Control]) -> Unsteady:
    own = [chart for chart in charts if chart.test == test]
    shown = [chart for chart in own if chart.drifts]
    outside = sum(mark.outside for chart in own for mark in chart.marks)
    bare = Unsteady(
        machine=machine, day=0.0, outside=outside, days=sum(len(chart.marks) for chart in own)
    )  # fmt: skip
    if shown:
        return replace(bare, a_day=_fastest(shown))
    if not _sure(charts):
        return bare
    return replace(bare, a_day=_fastest(own) or _fastest([c for c in charts if c.drifts]), elsewhere=True)


def _sure(charts: Sequence[Control]) -> bool:
    """Whether a drift shows though so many charts were looked at."""
    ways = [(chart.drift_a_day or 1.0) > 1 for chart in charts if chart.drifts]
    if max(ways.count(True), ways.count(False)) > 1:
        return True
    seen = [chart.drift_p for chart in charts if chart.drift_p is not None]
    return bool(seen) and min(seen) * len(seen) < DRIFTS


def _fastest(charts: Sequence[Control]) -> float:
    """The far end of these slopes as a log a day; 0 where none has one."""
    ends = [end for chart in charts for end in (chart.drift_low, chart.drift_high) if end]
    return max((abs(math.log(end)) for end in ends), default=0.0)
