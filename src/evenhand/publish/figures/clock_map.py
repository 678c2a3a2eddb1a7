"""The map of a part whose voltage is left alone: clocks upward, trials across in their order, the edge.

Below the edge lies the guard band, down to the clock that is advised; the maker's limit is a line above which
nothing is tried. Where nothing failed or nothing held there is no edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from evenhand.publish.figures.axes import Axes, grid, gutter, held, on_steps, stepped, tick_words
from evenhand.publish.figures.frame import Frame
from evenhand.publish.figures.tuning_edge import UNTOLD, edge_band
from evenhand.publish.figures.tuning_marks import against_sign, counts, ended, next_sign, sign_of
from evenhand.publish.figures.tuning_plot import (
    AIR,
    CLOSEST,
    LEAST_STEPS,
    Name,
    area,
    limit_line,
    names_drawn,
    placed,
    shown_limit,
    way,
)
from evenhand.publish.figures.tuning_scene import (
    TuningMap,
    begun_map,
    ended_map,
    limit_said,
    limit_seen,
    next_said,
)
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, counted, level_words, number, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Point, Words
from evenhand.publish.tuning_words import clock_words
from evenhand.tuning.advice import Advice

NAMES_SHARE, NAMES_NARROW = 0.27, 0.34  # of the body's width: what names at the right take
PLOT = 24  # of the type size: how high the body is where the picture may grow


def clock_map(found: TuningMap, names: Names, *, style: Style) -> Picture:
    """The map as a picture."""
    edge = _edge(found)
    begun = begun_map(found, [edge] if edge else [], names, plot=PLOT, style=style)
    axes = _axes(found, begun.frame, begun.top)
    most = None if found.limit is None else found.limit.most
    said = limit_said(found, above=_limit_shown(found) is None)
    plot = [
        *grid(axes, "MHz"), _order(axes), *_edge_drawn(edge, axes), *_marks(found, axes),
        *limit_line(most, said, axes, _places(found, axes)),
        *names_drawn(_names(edge, axes), axes.box, begun.frame.body.right, style),
    ]  # fmt: skip
    return ended_map(found, begun, plot, seen=_seen(found))


def _edge(found: TuningMap) -> Advice | None:
    """The advice whose edge trials tell: something failed, and something held."""
    told = found.told
    return told if told is not None and told.edge_mhz is not None and told.withheld not in UNTOLD else None


def _axes(found: TuningMap, begun: Frame, top: float) -> Axes:
    style, body, size = begun.style, begun.body, begun.style.text[1]
    low, high = _range(found)
    most = _limit_shown(found)
    air = AIR * (high - low)
    high = max(high + air, high if most is None else most + 2 * air)
    share = NAMES_NARROW if style.narrow else NAMES_SHARE
    right = body.right - (share * (body.right - body.left) if _edge(found) else 0.4 * size)
    top += (1.5 if most is None else 0.2) * size  # words of a limit that is not drawn stand above
    box = Box(left=body.left, top=top, right=right, bottom=body.bottom - 1.35 * size)
    axes = stepped(Axes(box=box, style=style, end_s=len(found.points) + 1, low=low - air, high=high))
    axes = on_steps(axes, found.step, found.step_from)
    return replace(axes, box=replace(box, left=body.left + gutter(tick_words(axes, "MHz"), style)))


def _range(found: TuningMap) -> tuple[float, float]:
    """From which clock to which: of the edge's band no more than tells something beside the trials."""
    tried = [clock for clock, _ in found.points]
    edge = _edge(found)
    tried += [edge.clock_mhz] if edge is not None and edge.voltage_mv is not None else []
    tried = tried or [0.0 if found.limit is None else found.limit.most]
    low, high = min(tried), max(tried)
    span = max(high - low, 0.01 * high, LEAST_STEPS * found.step)
    if edge is not None and edge.edge_mhz is not None:
        least, _, most = edge.edge_mhz
        low, high = min(low, max(least, low - span / 2)), max(high, min(most, high + span / 2))
    spare = max(span - (high - low), 0.0) / 2
    return low - spare, high + spare


def _limit_shown(found: TuningMap) -> float | None:
    return shown_limit(found.limit.most if found.limit else None, *_range(found))


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
    ways = ", ".join(f"{how} {number(n)}" for how, n in counts(found.trials).items())
    many = counted(len(found.trials), "trial").capitalize()
    said = ["Clocks upward, trials in their order across; the voltage is left alone."]
    said.append(f"{many}: {ways}." if ways else "No trial yet.")
    edge = _edge(found)
    if edge is not None and edge.edge_mhz is not None:
        low, middle, high = (clock_words(round(end)) for end in edge.edge_mhz)
        then = "none is advised" if edge.voltage_mv is None else f"{clock_words(edge.clock_mhz)} is advised"
        said.append(f"The edge lies at {middle} ({level_words(0.95)}: {low} to {high}), {then}.")
    said += [f"{capital(next_said(found))}."] if found.next else []
    return " ".join([*said, limit_seen(found)])
