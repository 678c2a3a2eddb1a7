"""One run's frame times over the run, its siblings thin behind it, hitches and fault places marked.

A trace of any length is thinned to the columns of the picture by keeping each column's shortest and
longest frame, so that no spike is lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from evenhand.errors import NotEnoughRuns
from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.frame import Frame, finish, frame, nice_steps
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted, decimals_for, number, with_unit
from evenhand.publish.palette import Slot
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Shape, Words, line, path, rect
from evenhand.records.faults import Fault, Place, Severity

Floats = npt.NDArray[np.float64]
HEADROOM = 2.0  # the scale ends at this multiple of the median frame; longer ones run off it, and are told
NEAR = 8  # units: places nearer to each other than this are drawn as one
ROW = 1.2  # of the type size: from one line of labels to the next
COLUMNS = 420
SIBLING_COLUMNS = 420


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TraceScene:
    """What one picture of a trace shows.

    `frame_times_ms` has shape (n,); `siblings` holds the frame times of other runs of the same cell.
    `hitches` are the places of hitches, `faults` what triage found (with places where it has them).
    """

    test: str
    setup: str
    run: str
    frame_times_ms: Floats
    siblings: tuple[Floats, ...] = ()
    hitches: tuple[Place, ...] = ()
    faults: tuple[Fault, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Axes:
    """Seconds and milliseconds to pixels within `box`."""

    box: Box
    style: Style
    end_s: float
    low_ms: float
    high_ms: float
    step_ms: float

    def x(self, seconds: float) -> float:
        """The place of a time."""
        return self.box.left + min(max(seconds / self.end_s, 0.0), 1.0) * (self.box.right - self.box.left)

    def y(self, ms: float) -> float:
        """The place of a frame time, held within the box."""
        share = (ms - self.low_ms) / (self.high_ms - self.low_ms)
        return self.box.bottom - min(max(share, 0.0), 1.0) * (self.box.bottom - self.box.top)


def frame_time_trace(scene: TraceScene, names: Names, *, style: Style) -> tuple[Picture, ...]:
    """The trace of one run. Raises NotEnoughRuns where the run holds no readable frame."""
    frames = _readable(scene.frame_times_ms)
    if frames.size == 0:
        raise NotEnoughRuns("no readable frame to draw", where=scene.run, todo="choose another run")
    said = _headline(scene, names)
    siblings = [_readable(s) for s in scene.siblings]
    high = _limits([frames, *siblings])[1]
    begun = frame(said, _foot(scene, names, frames[frames > high]), style=style, wanted=15 * style.text[0])
    axes = _axes(begun, [frames, *siblings], scene)
    drawn = [
        *_places(scene.faults, axes),
        *_grid(axes),
        *_siblings(scene.siblings, axes),
        _main(frames, names.slot(scene.setup), axes),
        *_clipped(frames, axes),
        *_hitch_marks(scene, frames, axes),
        *_labels(scene, axes),
    ]
    title = f"Frame times of {names.setup(scene.setup)} in {names.test(scene.test)}, run {scene.run}"
    return (finish(begun, drawn, title=title, description=_description(scene, frames)),)


def thinned(frame_times_ms: Floats, columns: int) -> tuple[Floats, Floats, Floats]:
    """A trace in columns of equal time: each one's start (s), its shortest and its longest frame (ms).

    `frame_times_ms` has shape (n,) with n ≥ 1 and no value below 0. The three results have one shape
    (m,), m ≤ columns: columns that one long frame spans count as one.

    >>> t, low, high = thinned(np.array([10.0, 30.0, 20.0, 40.0]), 2)
    >>> t.tolist(), low.tolist(), high.tolist()
    ([0.0, 0.05], [10.0, 20.0], [30.0, 40.0])
    """
    ends_s = np.cumsum(frame_times_ms) / 1000.0
    edges_s = np.linspace(0.0, ends_s[-1], columns + 1)
    firsts = np.minimum(np.searchsorted(ends_s, edges_s[:-1], side="right"), ends_s.size - 1)
    firsts, kept = np.unique(firsts, return_index=True)
    low = np.minimum.reduceat(frame_times_ms, firsts)
    return edges_s[kept], low, np.maximum.reduceat(frame_times_ms, firsts)


def _readable(frame_times_ms: Floats) -> Floats:
    return frame_times_ms[np.isfinite(frame_times_ms) & (frame_times_ms > 0)]


def _headline(scene: TraceScene, names: Names) -> str:
    where = f"{names.setup(scene.setup)} in {names.test(scene.test)}"
    if not scene.faults:
        return f"{where}, frame by frame"
    title = scene.faults[0].title
    return f"{where}: {title[:1].lower()}{title[1:]}"


def _foot(scene: TraceScene, names: Names, longer: Floats) -> list[str]:
    said = ["Time of every frame."]
    if scene.siblings:
        said = [f"Time of every frame. Grey: {counted(len(scene.siblings), 'sibling')}."]
    if longer.size:
        up_to = with_unit(number(float(longer.max()), 1), "ms")
        reach = f"up to {up_to}" if longer.size > 1 else up_to
        said.append(f"{capital(counted(longer.size, 'frame is', 'frames are'))} longer, {reach}.")
    if scene.hitches:
        said.append(f"{counted(len(scene.hitches), 'hitch', 'hitches').capitalize()}.")
    return [*said, *([f"{names.terms.rstrip('.')}."] if names.terms else [])]


def _description(scene: TraceScene, frames: Floats) -> str:
    median, longest = float(np.median(frames)), float(frames.max())
    seconds = float(frames.sum()) / 1000.0
    faults = " ".join(f"{fault.title}: {fault.evidence}" for fault in scene.faults)
    said = (
        f"{counted(frames.size, 'frame')} over {with_unit(number(seconds, 1), 's')}; median "
        f"{with_unit(number(median, 2), 'ms')}, longest {with_unit(number(longest, 1), 'ms')}; "
        f"{counted(len(scene.hitches), 'hitch', 'hitches')}."
    )
    return f"{said} {faults}".rstrip()


def _limits(traces: Sequence[Floats]) -> tuple[float, float]:
    """The shortest and the longest frame that the scale holds."""
    known = [frames for frames in traces if frames.size]
    low = min(float(np.quantile(f, 0.002)) for f in known)
    median = max(float(np.median(f)) for f in known)
    high = min(max(float(f.max()) for f in known), HEADROOM * median)
    return low, max(high, low * 1.05, median * 1.15)


def _axes(begun: Frame, traces: Sequence[Floats], scene: TraceScene) -> Axes:
    style, body = begun.style, begun.body
    low, high = _limits(traces)
    step = nice_steps(high - low, 3)
    size = style.text[1]
    over = ROW * size * len(_labelled(scene.faults)) + _hitch_room(scene, style) + 0.4 * size
    gutter = (
        width(with_unit(number(_highest_tick(low, high, step), decimals_for(step)), "ms"), size) + 0.4 * size
    )
    box = Box(
        left=body.left + gutter, right=body.right, top=body.top + over, bottom=body.bottom - 1.35 * size
    )
    return Axes(
        box=box,
        style=style,
        end_s=max(float(f.sum()) / 1000.0 for f in traces),
        low_ms=max(0.0, low - 0.12 * (high - low)),
        high_ms=high,
        step_ms=step,
    )


def _highest_tick(low: float, high: float, step: float) -> float:
    return max(high // step * step, low)


def _grid(axes: Axes) -> list[Drawn]:
    """Round frame times as lines with their numbers, and the run's seconds below."""
    style, box = axes.style, axes.box
    size, hair = style.text[1], Pen(ink="line", width=style.hair)
    ticks = [i * axes.step_ms for i in range(1, 100) if axes.low_ms < i * axes.step_ms <= axes.high_ms]
    decimals = decimals_for(axes.step_ms)
    drawn: list[Drawn] = [line((box.left, axes.y(t)), (box.right, axes.y(t)), hair) for t in ticks]
    texts = [number(t, decimals) for t in ticks]
    texts[-1:] = [with_unit(text, "ms") for text in texts[-1:]]
    number_ = Words(x=box.left - 0.4 * size, y=0, text="", size=size, anchor="end", ink="ink2")
    drawn += [
        replace(number_, y=axes.y(t) + 0.35 * size, text=text) for t, text in zip(ticks, texts, strict=True)
    ]
    drawn.append(line((box.left, box.bottom), (box.right, box.bottom), Pen(ink="post", width=style.hair)))
    seconds = with_unit(number(axes.end_s), "s")
    base = Words(x=box.left, y=box.bottom + 1.05 * size, text="0", size=size, ink="ink2")
    return [*drawn, base, replace(base, x=box.right, text=seconds, anchor="end")]


def _envelope(frames: Floats, axes: Axes, *, columns: int, least: float) -> str:
    """The outline of a trace, column by column: along the longest frames, and back along the shortest.

    It is nowhere thinner than `least` pixels, so that it needs no line of its own.
    """
    seconds, low, high = thinned(frames, columns)
    xs = [axes.x(float(t)) for t in (*seconds, float(frames.sum()) / 1000.0)]
    tops = [axes.y(float(ms)) - least / 2 for ms in high]
    feet = [axes.y(float(ms)) + least / 2 for ms in low]
    there = "".join(f"V{y:.1f}H{x:.1f}" for y, x in zip(tops, xs[1:], strict=True))
    back = "".join(f"V{y:.1f}H{x:.1f}" for y, x in zip(feet[::-1], xs[-2::-1], strict=True))
    return f"M{xs[0]:.1f} {feet[0]:.1f}{there}{back}Z"


def _main(frames: Floats, slot: Slot, axes: Axes) -> Drawn:
    d = _envelope(frames, axes, columns=COLUMNS, least=1.5 * axes.style.unit)
    return Shape(tag="path", place={"d": d}, paint={"fill": slot.ink})


def _clipped(frames: Floats, axes: Axes) -> list[Drawn]:
    """A small tick at the top edge wherever a frame is longer than the scale."""
    seconds, _, longest = thinned(frames, COLUMNS)
    half = float(frames.sum()) / 2000.0 / COLUMNS
    pen, top = Pen(ink="ink", width=1.8 * axes.style.unit), axes.box.top
    places = [axes.x(float(t) + half) for t, ms in zip(seconds, longest, strict=True) if ms > axes.high_ms]
    return [line((x, top - 4 * axes.style.unit), (x, top), pen) for x in places]


def _siblings(siblings: Sequence[Floats], axes: Axes) -> list[Drawn]:
    """All siblings as one pale ground: where the cell's other runs went."""
    least = 0.8 * axes.style.unit
    known = [frames for frames in map(_readable, siblings) if frames.size]
    d = "".join(_envelope(frames, axes, columns=SIBLING_COLUMNS, least=least) for frames in known)
    return [Shape(tag="path", place={"d": d, "fill-opacity": "0.5"}, paint={"fill": "grey"})] if d else []


def _places(faults: Sequence[Fault], axes: Axes) -> list[Drawn]:
    """Each fault's places: a bar above, dashed lines down, and a pale ground unless they are long."""
    box, style = axes.box, axes.style
    dash = f"{3 * style.unit:g} {3 * style.unit:g}"
    edge, bar = (
        Pen(ink="fault-edge", width=style.post * 0.6, dash=dash),
        Pen(ink="fault-edge", width=style.post * 1.4),
    )
    drawn: list[Drawn] = []
    for spans in (_spans(fault.places, axes) for fault in faults):
        if sum(right - left for left, right in spans) < (box.right - box.left) / 3:
            grounds = (Box(left=x, top=box.top, right=end, bottom=box.bottom) for x, end in spans)
            drawn += [rect(ground, fill="fault-bg") for ground in grounds]
        for left, right in spans:
            drawn += [line((x, box.top), (x, box.bottom), edge) for x in (left, right)]
            drawn.append(line((left, box.top), (right, box.top), bar))
    return drawn


def _spans(places: Sequence[Place], axes: Axes) -> list[tuple[float, float]]:
    """Places as pixels from left to right; those too near to be told apart are drawn as one."""
    spans: list[tuple[float, float]] = []
    for place in sorted(places, key=lambda place: place.from_s):
        left = axes.x(place.from_s)
        right = max(axes.x(place.to_s), left + 2 * axes.style.unit)
        if spans and left - spans[-1][1] < NEAR * axes.style.unit:
            left, right = spans[-1][0], max(right, spans.pop()[1])
        spans.append((left, right))
    return spans


def _hitch_marks(scene: TraceScene, frames: Floats, axes: Axes) -> list[Drawn]:
    """A small arrowhead over each hitch, and the longest told in words above its own."""
    style, reach = axes.style, 4 * axes.style.unit
    pen, high, low = (
        Pen(ink="ink", width=1.6 * style.unit),
        axes.box.top - 2.4 * reach,
        axes.box.top - 1.2 * reach,
    )
    places = [axes.x((place.from_s + place.to_s) / 2) for place in scene.hitches]
    shapes = [f"M{x - reach:.1f} {high:.1f} {x:.1f} {low:.1f} {x + reach:.1f} {high:.1f}" for x in places]
    drawn: list[Drawn] = [path(d, pen) for d in shapes]
    if not scene.hitches:
        return drawn
    longest = int(np.argmax(frames))
    at, ms = float(np.sum(frames[: longest + 1])) / 1000.0, number(float(frames[longest]))
    words = Words(
        x=axes.x(at), y=high - 0.32 * style.text[1], size=style.text[1], face=Face.STRONG,
        text=f"longest {with_unit(ms, 'ms')}", anchor="middle",
    )  # fmt: skip
    return [*drawn, _held(words, axes)]


def _held(words: Words, axes: Axes) -> Words:
    """The words, moved just so far that they stay within the plot's width."""
    over, under = words.box.right - axes.box.right, axes.box.left - words.box.left
    return replace(words, x=words.x - max(over, 0.0) + max(under, 0.0))


def _labelled(faults: Sequence[Fault]) -> list[Fault]:
    """The faults named over their places: the first two, but not one that the headline names alone."""
    placed = [fault for fault in faults if fault.places]
    return [] if placed == list(faults[:1]) else placed[:2]


def _labels(scene: TraceScene, axes: Axes) -> list[Drawn]:
    """Each fault that has a place, named above it; two rows at most, the first fault on top."""
    size = axes.style.text[1]
    placed = _labelled(scene.faults)
    low = axes.box.top - _hitch_room(scene, axes.style) - 0.45 * size
    drawn: list[Drawn] = []
    for row, fault in enumerate(placed):
        title = fit(fault.title, axes.box.right - axes.box.left, sizes=(size, size), face=Face.STRONG).lines[
            0
        ]
        y = low - ROW * size * (len(placed) - 1 - row)
        words = Words(x=axes.x(fault.places[0].from_s), y=y, text=title, size=size, face=Face.STRONG)
        ink = "ink" if fault.severity is Severity.NOTE else "fault"
        drawn.append(_held(replace(words, ink=ink), axes))
    return drawn


def _hitch_room(scene: TraceScene, style: Style) -> float:
    return 9.6 * style.unit + 1.05 * style.text[1] if scene.hitches else 0.0
