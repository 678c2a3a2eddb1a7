"""The forms of an interval plot: filled for ahead, outlined for level, dashed and grey for unsettled.

Form says what colour repeats.
"""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.findings.finding import Outcome
from evenhand.publish.figures.frame import crossed
from evenhand.publish.figures.interval_rows import Row, WithRun
from evenhand.publish.palette import DISC, Slot
from evenhand.publish.spans import Span
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Point, line, mark, path, rect

SMALL = 0.62  # of a mark's size: what stands beside a finding in its own row
CAP = 8.6  # units: how far an interval's ends reach up and down, past every mark
BELOW = 0.29  # of the row's height: how far below its middle


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """Per cent to pixels, between `left` and `right`, no difference in the middle."""

    left: float
    right: float
    reach: float

    def x(self, percent: float) -> float:
        """The place of a difference, held within the plot."""
        held = max(-self.reach, min(self.reach, percent))
        return (self.left + self.right) / 2 + held / self.reach * (self.right - self.left) / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Lane:
    """One row's share of the plot: the scale, and the middle and height of the row."""

    scale: Scale
    style: Style
    y: float
    pitch: float

    @property
    def unit(self) -> float:
        """What forms are measured in: the style's, or less where rows are low."""
        return min(self.style.unit, self.pitch / 24)

    def bar(self, span: Span, half: float) -> Box:
        """From one end of the interval to the other, `half` above and below the middle."""
        low = span.value if span.low is None else span.low
        high = span.value if span.high is None else span.high
        return Box(left=self.scale.x(low), top=self.y - half, right=self.scale.x(high), bottom=self.y + half)


def forms(row: Row, lane: Lane) -> list[Drawn]:
    """What stands in the row: its own form, and what would stand with each run that was left out."""
    if row.span is None:
        return []
    beside = [drawn for again in row.with_runs for drawn in _beside(again, own_box(row.span, lane), lane)]
    return [*_form(row, row.span, lane), *beside]


def taken(row: Row, lane: Lane) -> list[Box]:
    """The room that the row's forms take."""
    if row.span is None:
        return []
    own, reach = own_box(row.span, lane), 7.5 * lane.unit * SMALL
    spots = [_beside_at(again, own, lane) for again in row.with_runs]
    marks = [Box(left=x - reach, top=y - reach, right=x + reach, bottom=y + reach) for x, y in spots]
    return [own, *marks]


def own_box(span: Span, lane: Lane) -> Box:
    """The room of a finding: its interval, and its mark where that is wider."""
    bar, x, reach = lane.bar(span, 7.5 * lane.unit), lane.scale.x(span.value), 7.5 * lane.unit
    return Box(left=min(bar.left, x - reach), top=bar.top, right=max(bar.right, x + reach), bottom=bar.bottom)


def _beside_at(again: WithRun, own: Box, lane: Lane) -> Point:
    """Where a left-out run's mark stands: on the row's middle, or lower where it would hide the finding."""
    x, reach = lane.scale.x(again.span.value), 9 * lane.unit * SMALL
    clear = x + reach < own.left or x - reach > own.right
    return x, lane.y + (0.0 if clear else BELOW * lane.pitch)


def _beside(again: WithRun, own: Box, lane: Lane) -> list[Drawn]:
    """The setup's mark, small, hollow and crossed."""
    at = _beside_at(again, own, lane)
    small = mark(again.slot.mark, at, scale=lane.unit * SMALL * 1.1, ink=again.slot.ink, hollow=True)
    return [small, *crossed(at, 7.5 * lane.unit * SMALL, lane.style)]


def _form(row: Row, span: Span, lane: Lane) -> list[Drawn]:
    if row.outcome is Outcome.UNSETTLED or (span.low is None and not row.left_out):
        over = crossed((lane.scale.x(span.value), lane.y), 7.5 * lane.style.unit, lane.style)
        return [*_dashed(span, lane, light=row.foretold), *(over if row.left_out else [])]
    if row.left_out:
        return _left_out(row, span, lane)
    if row.outcome is Outcome.LEVEL or row.leader is None:
        return _outlined(span, lane)
    return _filled(span, row.leader, lane)


def _filled(span: Span, leader: Slot, lane: Lane) -> list[Drawn]:
    unit, at = lane.unit, (lane.scale.x(span.value), lane.y)
    bar = lane.bar(span, 4 * unit)
    scale = unit * min(1.0, max(0.65, (bar.right - bar.left) / (22 * unit)))  # never hides its own bar
    pen = Pen(ink=leader.ink, width=1.6 * unit)
    caps = [line((x, at[1] - CAP * unit), (x, at[1] + CAP * unit), pen) for x in (bar.left, bar.right)]
    return [
        rect(bar, fill=leader.ink, rounded=1.2 * unit),
        mark(leader.mark, at, scale=scale, ink=leader.ink),
        *caps,
    ]


def _outlined(span: Span, lane: Lane) -> list[Drawn]:
    unit, x, y = lane.unit, lane.scale.x(span.value), lane.y
    pen, bar = Pen(ink="ink", width=2 * unit), lane.bar(span, 5.8 * unit)
    rest = max(0.8 * unit, min(3.2 * unit, (bar.right - bar.left) / 6))  # never wider than its own interval
    return [
        rect(bar, fill="sheet", pen=pen, rounded=1.2 * unit),
        rect(Box(left=x - rest, top=y - 4 * unit, right=x + rest, bottom=y + 4 * unit), fill="ink"),
    ]


def _dashed(span: Span, lane: Lane, *, light: bool) -> list[Drawn]:
    scale, y, unit = lane.scale, lane.y, lane.style.unit
    pen = Pen(ink="grey", width=(1.6 if light else 2.5) * unit, dash=f"{3 * unit:.1f} {3 * unit:.1f}")
    drawn: list[Drawn] = []
    if span.low is not None and span.high is not None:
        drawn.append(line((scale.x(span.low), y), (scale.x(span.high), y), pen))
        drawn += [_end(end, side, lane) for end, side in ((span.low, -1), (span.high, 1))]
    size = 0.85 if light else 1.0
    return [*drawn, mark(DISC, (scale.x(span.value), y), scale=unit * size, ink="grey", hollow=True)]


def _end(end: float, side: int, lane: Lane) -> Drawn:
    """The end of an unsettled bar: a cap, or an arrowhead where it runs on past the scale."""
    unit, y, x = lane.unit, lane.y, lane.scale.x(end)
    pen, reach = Pen(ink="grey", width=2 * unit), CAP * unit
    if abs(end) > lane.scale.reach:
        back = x - side * reach
        return path(f"M{back:.1f} {y - reach:.1f} {x:.1f} {y:.1f} {back:.1f} {y + reach:.1f}", pen)
    return line((x, y - reach), (x, y + reach), pen)


def _left_out(row: Row, span: Span, lane: Lane) -> list[Drawn]:
    """What would stand with the left-out run: that setup's mark hollow, thin interval, all crossed."""
    style, scale, y = lane.style, lane.scale, lane.y
    drawn: list[Drawn] = []
    ink = row.leader.ink if row.leader else "grey"
    if span.low is not None and span.high is not None:
        drawn.append(
            line((scale.x(span.low), y), (scale.x(span.high), y), Pen(ink=ink, width=1.6 * style.unit))
        )
    at = (scale.x(span.value), y)
    if row.leader:
        drawn.append(mark(row.leader.mark, at, scale=style.unit, ink=ink, hollow=True))
    return [*drawn, *crossed(at, 7.5 * style.unit, style)]
