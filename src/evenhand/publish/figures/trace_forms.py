"""How a trace is drawn: its outline in the build's colour, siblings pale behind it, long frames ticked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.publish.figures.axes import TICK, Axes
from evenhand.publish.figures.thinning import Floats, readable, thinned
from evenhand.publish.numbers import counted, number, with_unit
from evenhand.publish.palette import Slot
from evenhand.publish.svg import Drawn, Pen, Shape, line, path

HEADROOM = 2.5  # the scale ends at this multiple of the median frame at most; longer ones run off it
USUAL = 0.99  # of the frames stand well within the scale
ABOVE = 1.25  # of the usual frames' longest: what the scale holds at least
COLUMNS = 420
DOT_COLUMNS = 240


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Line:
    """A trace on the common clock: its readable frame times, and where its first frame begins."""

    frame_times_ms: Floats
    begins_s: float = 0.0

    @property
    def end_s(self) -> float:
        """Where its last frame ends."""
        return self.begins_s + float(self.frame_times_ms.sum()) / 1000.0


def lines_of(traces: Sequence[Floats], begins_s: Sequence[float] = ()) -> list[Line]:
    """The traces that hold a readable frame, each moved to where it begins (0 where that is not given)."""
    begins = [*begins_s, *[0.0] * (len(traces) - len(begins_s))]
    known = [Line(frame_times_ms=readable(f), begins_s=b) for f, b in zip(traces, begins, strict=True)]
    return [trace for trace in known if trace.frame_times_ms.size]


def limits_of(lines: Sequence[Line]) -> tuple[float, float]:
    """The shortest and the longest frame that the scale holds: rare long ones run off its top."""
    frames = [trace.frame_times_ms for trace in lines]
    low = min(float(np.quantile(f, 0.002)) for f in frames)
    median = max(float(np.median(f)) for f in frames)
    usual = ABOVE * max(float(np.quantile(f, USUAL)) for f in frames)
    high = min(max(float(f.max()) for f in frames), usual, HEADROOM * median)
    return low, max(high, low * 1.05, median * 1.15)


def outline(trace: Line, axes: Axes, *, least: float) -> str:
    """The outline of a trace, column by column: along the longest frames, and back along the shortest.

    It is nowhere thinner than `least` pixels, so that it needs no line of its own, and each column reaches
    as far as the next one begins, so that few frames still make one line.
    """
    seconds, low, high = thinned(trace.frame_times_ms, COLUMNS)
    low, high = np.minimum(low, np.append(high[1:], high[-1])), np.maximum(high, np.append(low[1:], low[-1]))
    xs = [axes.x(float(t)) for t in (*(seconds + trace.begins_s), trace.end_s)]
    tops = [axes.y(float(ms)) - least / 2 for ms in high]
    feet = [axes.y(float(ms)) + least / 2 for ms in low]
    there = "".join(f"V{y:.1f}H{x:.1f}" for y, x in zip(tops, xs[1:], strict=True))
    back = "".join(f"V{y:.1f}H{x:.1f}" for y, x in zip(feet[::-1], xs[-2::-1], strict=True))
    return f"M{xs[0]:.1f} {feet[0]:.1f}{there}{back}Z"


def own_trace(trace: Line, slot: Slot, axes: Axes) -> Drawn:
    """The run itself, in its build's colour."""
    d = outline(trace, axes, least=1.5 * axes.style.unit)
    return Shape(tag="path", place={"d": d}, paint={"fill": slot.ink})


def dotted_trace(trace: Line, slot: Slot, axes: Axes) -> Drawn:
    """The run as dots, one wherever any frame of a column lies: shows steps that an outline would hide."""
    wide, tall = (axes.box.right - axes.box.left) / DOT_COLUMNS, 2.2 * axes.style.unit
    begins_s = np.cumsum(trace.frame_times_ms) / 1000.0 - trace.frame_times_ms / 1000.0 + trace.begins_s
    columns = [int(axes.x(float(s)) // wide) for s in begins_s]
    rows = [int(axes.y(float(ms)) // tall) for ms in trace.frame_times_ms]
    cells = sorted(set(zip(columns, rows, strict=True)))
    d = "".join(f"M{c * wide:.1f} {(r + 0.5) * tall:.1f}h{wide * 0.8:.1f}" for c, r in cells)
    return path(d, Pen(ink=slot.ink, width=tall * 0.8))


def sibling_traces(siblings: Sequence[Line], axes: Axes) -> list[Drawn]:
    """All siblings as one pale ground: where the cell's other runs went."""
    d = "".join(outline(trace, axes, least=0.8 * axes.style.unit) for trace in siblings)
    return [Shape(tag="path", place={"d": d, "fill-opacity": "0.5"}, paint={"fill": "grey"})] if d else []


def long_ticks(own: Line, siblings: Sequence[Line], axes: Axes) -> list[Drawn]:
    """A small tick over the top edge wherever a frame is longer than the scale: siblings' grey, below."""
    grey = Pen(ink="grey", width=1.8 * axes.style.unit)
    drawn = [tick for trace in siblings for tick in _ticks(trace, axes, grey)]
    return [*drawn, *_ticks(own, axes, Pen(ink="ink", width=1.8 * axes.style.unit))]


def _ticks(trace: Line, axes: Axes, pen: Pen) -> list[Drawn]:
    seconds, _, longest = thinned(trace.frame_times_ms, COLUMNS)
    half, top = (trace.end_s - trace.begins_s) / 2 / COLUMNS, axes.box.top
    xs = [axes.x(float(s)) for s in seconds[longest > axes.high] + trace.begins_s + half]
    return [line((x, top - TICK * axes.style.unit), (x, top), pen) for x in xs]


def long_words(own: Line, siblings: Sequence[Line], high_ms: float) -> str:
    """What the ticks on top are: how many frames are longer than the scale, the run's and its siblings'."""
    longer = own.frame_times_ms[own.frame_times_ms > high_ms]
    others = sum(int((trace.frame_times_ms > high_ms).sum()) for trace in siblings)
    if not longer.size and not others:
        return ""
    if not longer.size:
        return f"Ticks on top: {counted(others, 'longer frame')} of siblings."
    longest = with_unit(number(float(longer.max()), 1), "ms")
    up_to = f"up to {longest}" if longer.size > 1 else longest
    theirs = f"; {counted(others, 'frame')} of siblings" if others else ""
    return f"Ticks on top: {counted(longer.size, 'longer frame')}, {up_to}{theirs}."
