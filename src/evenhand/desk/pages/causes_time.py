"""The part of the causes page across time: anchors, what a change shifted, and how steady the bench is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.desk.comparison.explaining import Explained
from evenhand.findings.bridges import NoBridge
from evenhand.findings.cause import Standing
from evenhand.findings.control import Control
from evenhand.findings.rooms import DAYS
from evenhand.findings.unlikes import Aspect, Mark
from evenhand.publish.figures.control_chart import control_chart
from evenhand.publish.numbers import listed
from evenhand.publish.picture import Picture
from evenhand.publish.time_words import (
    bridge_sentence,
    control_sentence,
    crossed_sentence,
    shift_sentence,
    steady_heading,
)

NOTHING_CHANGED = "No driver, system or version changed while this study was measured"
HOW_TO_BRIDGE = (
    "When a driver, the system or a version of a test changes, run one setup again on both sides of the "
    "change, and give it a setup of its own for each side: it is the anchor, and old and new results meet "
    "over it."
)
OWN_SPREAD = (
    "Spread is drawn here from the anchor alone, above from every setup with runs of a test: of one change "
    "the two may tell slightly different intervals."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class CrossedPart:
    """One change with the anchor that was run on both sides of it."""

    heading: str
    shifts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartPart:
    """The anchor in one test over its bench days."""

    name: str
    words: str
    picture: Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class TimePart:
    """What changed, what anchors say of it, pairs joined or not, and the control charts."""

    heading: str
    changed: str
    todo: str
    crossed: tuple[CrossedPart, ...]
    spread: str
    bridges: tuple[str, ...]
    apart: str
    steady: str
    charts: tuple[ChartPart, ...]
    more: tuple[ChartPart, ...]


def time_part(found: Explained) -> TimePart:
    """Everything across time, with what to do where there is nothing."""
    time, names = found.time, found.names
    heading = _heading(found)
    charts = [c for c in time.steady if c.marks]
    limited = [chart for chart in charts if any(mark.low is not None for mark in chart.marks)]
    shown = sorted(limited or longest(charts), key=lambda chart: not _tells(chart))
    return TimePart(
        heading=heading, changed=_changed(found), todo="" if time.crossed else HOW_TO_BRIDGE,
        crossed=tuple(
            CrossedPart(
                heading=crossed_sentence(each.anchor, each.old, each.new, each.common, names),
                shifts=tuple(shift_sentence(shift, names) for shift in each.shifts),
            )
            for each in time.crossed
        ),
        spread=_spread(found),
        bridges=tuple(bridge_sentence(each, names) for each in time.bridges),
        apart=_apart(found),
        steady=steady_heading(charts, time.watched, names) if charts else "",
        charts=tuple(_chart(chart, found) for chart in shown[:2]),
        more=tuple(_chart(chart, found) for chart in shown[2:]),
    )  # fmt: skip


def longest(charts: Sequence[Control]) -> list[Control]:
    """Before any has limits, the chart of most days; a single day is no course."""
    longest = max(charts, key=lambda chart: len(chart.marks), default=None)
    return [longest] if longest is not None and len(longest.marks) > 1 else []


def _spread(found: Explained) -> str:
    """Why the effect of a change may stand above with another interval; "" where it stands here alone."""
    above = any(c.standing is Standing.BESIDE and c.effect for c in found.causes)
    return OWN_SPREAD if above and found.time.crossed else ""


def _apart(found: Explained) -> str:
    """The tests in which the two may not share a ratio, for want of a bridge."""
    lone = tuple(found.names.test(e.test) for e in found.time.bridges if isinstance(e, NoBridge))
    return f"In {listed(lone)} the two were never measured under one set of conditions." if lone else ""


def _heading(found: Explained) -> str:
    time, names = found.time, found.names
    if not time.changed:
        return NOTHING_CHANGED
    what = listed(time.changed)
    if not time.crossed:
        return f"The {what} changed, and no setup was run on both sides"
    anchors = dict.fromkeys(names.machine(each.anchor) for each in time.crossed)
    return f"The {what} changed, and {listed(tuple(anchors))} bridges it"


def _changed(found: Explained) -> str:
    periods = found.time.periods
    if len(periods) > 1:
        return f"Runs were made under {listed(periods)}."
    if not periods:
        return ""
    if unlike := _measured_unlike(found):
        verb = "differ" if len(unlike) > 1 or unlike == (DAYS,) else "differs"
        return f"The two were not measured alike all the same: {listed(unlike)} {verb}, as told above."
    return "As far as is on record, all runs of the two that count were made under one set of conditions."


def _measured_unlike(found: Explained) -> tuple[str, ...]:
    """What differs in how the two were measured: what tests fix, stamps beside the question, the room."""
    refused = [refusal.name or refusal.key for refusal in found.refused]
    beside = (Aspect.STAMP, Aspect.ROOM, Aspect.DAYS)
    accidents = [u.name for u in found.differs.marked(Mark.ACCIDENT) if u.aspect in beside]
    return tuple(dict.fromkeys((*refused, *accidents)))


def _tells(chart: Control) -> bool:
    return chart.drifts or any(mark.outside for mark in chart.marks)


def _chart(chart: Control, found: Explained) -> ChartPart:
    under = f", {chart.under}" if len(found.time.periods) > 1 else ""
    return ChartPart(
        name=f"{found.names.test(chart.test)}{under}", words=control_sentence(chart, found.names),
        picture=control_chart(chart, found.names),
    )  # fmt: skip
