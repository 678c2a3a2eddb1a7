"""The map of a part whose voltage is left alone: clocks upward, trials across in their order, the edge.

Below the edge lies the guard band, down to the clock that is advised; the maker's limit is a line above which
nothing is tried. Where nothing failed or nothing held there is no edge.
"""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.publish.figures.axes import Axes, grid, held
from evenhand.publish.figures.tuning.axes import Upward, axes_of, upward_of
from evenhand.publish.figures.tuning.edge import UNTOLD, edge_band
from evenhand.publish.figures.tuning.marks import against_sign, ended, next_sign, sign_of
from evenhand.publish.figures.tuning.plot import (
    CLOSEST,
    NEAR_LIMIT,
    Name,
    area,
    limit_line,
    names_drawn,
    placed,
    way,
)
from evenhand.publish.figures.tuning.scene import (
    Begun,
    TuningMap,
    begun_map,
    ended_map,
    limit_said,
    limit_seen,
    next_said,
    tried_seen,
)
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, level_words, number, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn, Pen, Point, Words
from evenhand.publish.tuning.words import clock_words
from evenhand.tuning.advice import Advice

NAMES_SHARE, NAMES_NARROW = 0.27, 0.34  # of the body's width: what names at the right take
LEAST_SPAN = 0.01  # of the highest clock: so much is shown at least
OVER = 1.3  # of the type size: what words of a limit take that stand over the plot, for want of a line
PLOT = 24  # of the type size: how high the body is where the picture may grow


def clock_map(found: TuningMap, names: Names, *, style: Style) -> Picture:
    """The map as a picture."""
    edge = _edge(found)
    begun = begun_map(found, [edge] if edge else [], names, plot=PLOT, style=style)
    upward = _upward(found, edge)
    axes = _axes(found, begun, upward, named=edge is not None)
    said = limit_said(found, above=upward.limit is None)
    plot = [
        *grid(axes, "MHz"), _order(axes), *_edge_drawn(edge, axes), *_marks(found, axes),
        *limit_line(upward.limit, said, axes, _places(found, axes)),
        *names_drawn(_names(edge, axes), axes.box, begun.frame.body.right, style),
    ]  # fmt: skip
    return ended_map(found, begun, plot, seen=_seen(found))


def _edge(found: TuningMap) -> Advice | None:
    """The advice whose edge trials tell: something failed, and something held."""
    told = found.told
    return told if told is not None and told.edge_mhz is not None and told.withheld not in UNTOLD else None


def _upward(found: TuningMap, edge: Advice | None) -> Upward:
    """From which clock to which."""
    tried = [clock for clock, _ in found.points]
    tried += [edge.clock_mhz] if edge is not None and edge.voltage_mv is not None else []
    ends = [edge.edge_mhz] if edge is not None and edge.edge_mhz is not None else []
    highest = max(tried, default=0.0 if found.limit is None else found.limit.most)
    return upward_of(found, tried, ends, least=LEAST_SPAN * highest, beyond=0.5, near=NEAR_LIMIT)


def _axes(found: TuningMap, begun: Begun, upward: Upward, *, named: bool) -> Axes:
    style = begun.frame.style
    top = begun.top + (OVER * style.text[1] if upward.limit is None else 0.0)
    share = NAMES_NARROW if style.narrow else NAMES_SHARE
    across = len(found.points) + 1
    return axes_of(found, begun.frame, upward, across=across, top=top, named=share if named else 0.0)


def _order(axes: Axes) -> Words:
    """What runs across."""
    box, size = axes.box, axes.style.text[1]
    words = Words(
        x=(box.left + box.right) / 2, y=box.bottom + 1.2 * size, text="trials in their order", size=size,
        anchor="middle", ink="ink2",
    )  # fmt: skip
    return held(words, box)


def _edge_drawn(edge: Advice | None, axes: Axes) -> list[Drawn]:
    """Guard band, the edge's own band, and both lines, from side to side."""
    if edge is None or edge.edge_mhz is None:
        return []
    low, middle, high = (_across(axes, clock) for clock in edge.edge_mhz)
    band = edge_band(low, middle, high, axes.style)
    if edge.voltage_mv is None:
        return band
    advised = _across(axes, edge.clock_mhz)
    line = way(advised, Pen(ink="ink", width=axes.style.post))
    return [area(middle, advised, fill="band"), line, *band]


def _across(axes: Axes, clock_mhz: float) -> list[Point]:
    return [(axes.box.left, axes.y(clock_mhz)), (axes.box.right, axes.y(clock_mhz))]


def _names(edge: Advice | None, axes: Axes) -> list[Name]:
    """What stands at the right: the edge with its band, the guard band, what is advised."""
    if edge is None or edge.edge_mhz is None:
        return []
    low, middle, high = edge.edge_mhz
    span = f"{number(low)} to {number(high)}"
    told = with_unit(span, "MHz")
    said = (f"{told} at {level_words(0.95)}", told, clock_words(round(middle)))
    right = axes.box.right
    found = [Name(at=(right, axes.y(middle)), name="edge", under=said)]
    if edge.guard_band_mhz is not None:
        free, advised = with_unit(number(edge.guard_band_mhz), "MHz"), clock_words(edge.clock_mhz)
        between = (axes.y(middle) + axes.y(edge.clock_mhz)) / 2
        found.append(Name(at=(right, between), name="guard band", under=(f"{free} kept free", free)))
        found.append(Name(at=(right, axes.y(edge.clock_mhz)), name="advised", under=(advised,)))
    return found


def _places(found: TuningMap, axes: Axes) -> list[Point]:
    return [(axes.x(n + 1), axes.y(clock)) for n, (clock, _) in enumerate(found.points)]


def _marks(found: TuningMap, axes: Axes) -> Iterator[Drawn]:
    """A mark for each trial, a frame around those that contradict each other, and what comes next."""
    wide = (axes.box.right - axes.box.left) / (len(found.points) + 1)
    unit = axes.style.unit
    scale = max(CLOSEST * unit, min(unit, wide / 13))
    places = _places(found, axes)
    for trial, place in zip(found.trials, places, strict=False):
        yield from placed(sign_of(ended(trial)), place, scale)
        if (trial.clock_mhz, trial.voltage_mv) in found.against:
            yield from placed(against_sign(), place, 1.1 * scale)
    if found.next is not None:
        yield from placed(next_sign(), places[-1], scale)


def _seen(found: TuningMap) -> str:
    """What is seen, for whoever cannot see it."""
    said = ["Clocks upward, trials in their order across; the voltage is left alone.", tried_seen(found)]
    edge = _edge(found)
    if edge is not None and edge.edge_mhz is not None:
        low, middle, high = (clock_words(round(end)) for end in edge.edge_mhz)
        then = "none is advised" if edge.voltage_mv is None else f"{clock_words(edge.clock_mhz)} is advised"
        said.append(f"The edge lies at {middle} ({level_words(0.95)}: {low} to {high}), {then}.")
    said += [f"{capital(next_said(found))}."] if found.next else []
    return " ".join([*said, limit_seen(found)])
