"""The control chart of an anchor as a small picture: its bench days, and the limits that earlier ones set.

Across in per cent of the width, upward in pixels, so that type keeps its size on a phone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.findings.control import Control, Mark
from evenhand.publish.dates import day_words
from evenhand.publish.figures.percent_svg import at, box, figure, level, upright, word
from evenhand.publish.names import Names
from evenhand.publish.numbers import number, with_unit
from evenhand.publish.picture import Picture

HIGH, TOP, BOTTOM = 132, 26.0, 100.0
LEFT, RIGHT = 6.0, 94.0
ROOM = 0.01  # of the middle: the least that the scale holds on either side
OUTSIDE = '<path class="flag" d="M-8-8 8 8M8-8-8 8"/>'


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plot:
    marks: tuple[Mark, ...]
    low: float
    high: float

    def x(self, i: int) -> float:
        """Days stand side by side in order; how far apart they lie is told below."""
        steps = max(len(self.marks) - 1, 1)
        return LEFT + (RIGHT - LEFT) * i / steps if len(self.marks) > 1 else 50.0

    def y(self, value: float) -> float:
        return BOTTOM - (value - self.low) / (self.high - self.low) * (BOTTOM - TOP)


def control_chart(chart: Control, names: Names) -> Picture:
    """Each bench day of the anchor in one test, beside the limits that the days before it set."""
    plot, unit = _plot(chart), names.unit(chart.test)
    slot = names.slot(chart.anchor)
    title = f"{names.machine(chart.anchor)} in {names.test(chart.test)}, by bench day"
    seen = seen_words(chart, names)
    drawn = [
        at(plot.x(i), plot.y(mark.value), f'<path class="dot b{slot.number}" d="{slot.mark}"/>')
        + (at(plot.x(i), plot.y(mark.value), OUTSIDE) if mark.outside else "")
        for i, mark in enumerate(plot.marks)
    ]
    body = "".join((*_limits(plot), *_axis(plot), *_labels(plot, unit), *drawn))
    svg = figure(body, HIGH, title=title, seen=seen, kind="control")
    return Picture(svg=svg, width=0, height=HIGH, title=title, description=seen)


def seen_words(chart: Control, names: Names) -> str:
    """What is seen, in words."""
    unit = names.unit(chart.test)
    first, last = (with_unit(number(m.value, 1), unit) for m in (chart.marks[0], chart.marks[-1]))
    outside = sum(mark.outside for mark in chart.marks)
    held = "no limits yet" if chart.marks[-1].low is None else f"{outside} outside the limits"
    began, ended = day_words(chart.marks[0].at), day_words(chart.marks[-1].at)
    return f"From {first} on {began} to {last} on {ended}, {held}."


def _plot(chart: Control) -> _Plot:
    ends = [v for m in chart.marks for v in (m.value, m.low, m.high) if v is not None]
    middle = (min(ends) + max(ends)) / 2
    half = max((max(ends) - min(ends)) / 2, ROOM * middle)
    return _Plot(marks=chart.marks, low=middle - 1.15 * half, high=middle + 1.15 * half)


def _limits(plot: _Plot) -> Iterator[str]:
    """A band about every day that has limits, half a step to either side."""
    half = (RIGHT - LEFT) / max(len(plot.marks) - 1, 1) / 2
    for i, mark in enumerate(plot.marks):
        if mark.low is None or mark.high is None or mark.centre is None:
            continue
        left, right = max(plot.x(i) - half, 0.0), min(plot.x(i) + half, 100.0)
        yield box(left, plot.y(mark.high), right - left, plot.y(mark.low) - plot.y(mark.high))
        yield level(plot.y(mark.centre), "zero", start=left, end=right)
        yield level(plot.y(mark.high), "post", start=left, end=right)
        yield level(plot.y(mark.low), "post", start=left, end=right)


def _axis(plot: _Plot) -> Iterator[str]:
    yield level(BOTTOM + 6)
    for i in range(len(plot.marks)):
        yield upright(plot.x(i), BOTTOM + 6, BOTTOM + 11)


def _labels(plot: _Plot, unit: str) -> Iterator[str]:
    """The first and the last day, and the number of either."""
    for i, anchor in ((0, "start"), (len(plot.marks) - 1, "end")):
        if i and len(plot.marks) < 2:
            continue
        mark, x = plot.marks[i], 0.0 if anchor == "start" else 100.0
        yield word(day_words(mark.at), x, BOTTOM + 27, anchor=anchor)
        yield word(with_unit(number(mark.value, 1), unit), x, 14, kind="str", anchor=anchor)
        if len(plot.marks) == 1:
            return
