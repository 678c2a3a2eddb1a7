"""One run's frame times over the run, its siblings thin behind it, hitches and fault places marked.

A trace of any length is thinned to the columns of the picture by keeping each column's shortest and
longest frame, so that no spike is lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from evenhand.errors import NotEnoughRuns
from evenhand.publish.faces import Face, fit
from evenhand.publish.figures.axes import (
    Axes,
    grid,
    guttered,
    held,
    mark_places,
    stepped,
    time_below,
    veiled,
)
from evenhand.publish.figures.frame import Frame, finish, frame, must_say, short_enough
from evenhand.publish.figures.thinning import Floats
from evenhand.publish.figures.trace_forms import (
    Line,
    limits_of,
    lines_of,
    long_ticks,
    long_words,
    own_trace,
    sibling_traces,
)
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted, listed, number, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, path
from evenhand.records.faults import Fault, Place, Severity

ROW = 1.2  # of the type size: from one line of labels to the next


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TraceScene:
    """What one picture of a trace shows.

    `frame_times_ms` has shape (n,); `siblings` holds the frame times of other runs of the same cell.
    `hitches` are the places of hitches, `faults` what triage found (with places where it has them).
    `not_measured` are the parts of the log that its window leaves out.
    """

    test: str
    setup: str
    run: str
    frame_times_ms: Floats
    siblings: tuple[Floats, ...] = ()
    hitches: tuple[Place, ...] = ()
    faults: tuple[Fault, ...] = ()
    not_measured: tuple[Place, ...] = ()


def frame_time_trace(scene: TraceScene, names: Names, *, style: Style) -> tuple[Picture, ...]:
    """The trace of one run. Raises NotEnoughRuns where the run holds no readable frame."""
    own = next(iter(lines_of([scene.frame_times_ms])), None)
    if own is None:
        raise NotEnoughRuns("no readable frame to draw", where=scene.run, todo="choose another run")
    names, siblings = names.drawn(), lines_of(scene.siblings)
    if scene.not_measured:
        names = replace(names, measured=())  # it is shown
    longer = long_words(own, siblings, limits_of([own, *siblings])[1])
    said = short_enough(lambda called: headline_of(scene, called), names, style)
    begun = frame(said, _foot(scene, names, style, longer), style=style, wanted=15 * style.text[0])
    axes = _axes(begun, [own, *siblings], scene)
    drawn = [
        *veiled(scene.not_measured, axes, bottom=axes.box.bottom),
        *(m for f in scene.faults for m in mark_places(f.places, axes, f.severity, bottom=axes.box.bottom)),
        *grid(axes, "ms"),
        *time_below(axes),
        *sibling_traces(siblings, axes),
        own_trace(own, names.slot(scene.setup), axes),
        *long_ticks(own, siblings, axes),
        *_hitch_marks(scene, own.frame_times_ms, axes),
        *_labels(scene, axes),
    ]
    title = f"Frame times of {names.setup(scene.setup)} in {names.test(scene.test)}, run {scene.run}"
    return (finish(begun, drawn, title=title, description=_description(scene, own, longer), names=names),)


def headline_of(scene: TraceScene, names: Names) -> str:
    """Which run, and the first thing found in it."""
    where = f"{names.setup(scene.setup)} in {names.test(scene.test)}"
    if not scene.faults:
        return f"{where}, frame by frame"
    title = scene.faults[0].title
    return f"{where}: {title[:1].lower()}{title[1:]}"


def _foot(scene: TraceScene, names: Names, style: Style, longer: str) -> list[str]:
    grey = f" Grey: {counted(len(scene.siblings), 'sibling')}." if scene.siblings else ""
    shaded = " Shaded: not measured." if scene.not_measured else ""
    first = f"Time of every frame.{grey}{shaded}"
    said = [first, *must_say(names, first, style), *([longer] if longer else [])]
    if scene.hitches:
        said.append(f"{counted(len(scene.hitches), 'hitch', 'hitches').capitalize()}.")
    return [*said, *names.terms_told]


def _description(scene: TraceScene, own: Line, longer: str) -> str:
    frames = own.frame_times_ms
    median, longest = float(np.median(frames)), float(frames.max())
    said = (
        f"{counted(frames.size, 'frame')} over {with_unit(number(own.end_s, 1), 's')}; median "
        f"{with_unit(number(median, 2), 'ms')}, longest {with_unit(number(longest, 1), 'ms')}; "
        f"{counted(len(scene.hitches), 'hitch', 'hitches')}."
    )
    faults = [f"{fault.title}: {fault.evidence}" for fault in scene.faults]
    spans = [f"{number(p.from_s, 1)} to {with_unit(number(p.to_s, 1), 's')}" for p in scene.not_measured]
    left = f"Not measured: {listed(tuple(spans))}." if spans else ""
    return " ".join(sentence for sentence in (said, left, longer, *faults) if sentence)


def _axes(begun: Frame, traces: Sequence[Line], scene: TraceScene) -> Axes:
    style, body = begun.style, begun.body
    low, high = limits_of(traces)
    size = style.text[1]
    over = ROW * size * len(_labelled(scene.faults)) + _hitch_room(scene, style) + 0.4 * size
    box = Box(left=body.left, right=body.right, top=body.top + over, bottom=body.bottom - 1.35 * size)
    end_s = max(trace.end_s for trace in traces)
    low = max(0.0, low - 0.12 * (high - low))
    return guttered(stepped(Axes(box=box, style=style, end_s=end_s, low=low, high=high)), "ms")


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
    return [*drawn, held(words, axes.box)]


def _labelled(faults: Sequence[Fault]) -> list[Fault]:
    """The faults named over their places: the first two, but not one that the headline names alone."""
    placed = [fault for fault in faults if fault.places]
    return [] if placed == list(faults[:1]) else placed[:2]


def _labels(scene: TraceScene, axes: Axes) -> list[Drawn]:
    """Each fault that has a place, named above it; two rows at most, the first fault on top."""
    size = axes.style.text[1]
    placed = _labelled(scene.faults)
    low = axes.box.top - _hitch_room(scene, axes.style) - 0.45 * size
    room = axes.box.right - axes.box.left
    drawn: list[Drawn] = []
    for row, fault in enumerate(placed):
        title = fit(fault.title, room, sizes=(size, size), face=Face.STRONG).lines[0]
        y = low - ROW * size * (len(placed) - 1 - row)
        words = Words(x=axes.x(fault.places[0].from_s), y=y, text=title, size=size, face=Face.STRONG)
        ink = "ink" if fault.severity is Severity.NOTE else "fault"
        drawn.append(held(replace(words, ink=ink), axes.box))
    return drawn


def _hitch_room(scene: TraceScene, style: Style) -> float:
    return 9.6 * style.unit + 1.05 * style.text[1] if scene.hitches else 0.0
