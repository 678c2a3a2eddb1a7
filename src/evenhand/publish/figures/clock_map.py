"""The map of a part whose voltage is left alone: clocks upward, trials across in their order, the edge.

Below the edge lies the guard band, down to the clock that is advised; the maker's limit is a line above which
nothing is tried. Where nothing failed or nothing held there is no edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.figures.axes import Axes, grid, gutter, held, on_steps, stepped, tick_words
from evenhand.publish.figures.card_frame import card_frame
from evenhand.publish.figures.frame import Frame, finish
from evenhand.publish.figures.tuning_edge import UNTOLD
from evenhand.publish.figures.tuning_marks import against_sign, counts, ended, keys_of, next_sign, sign_of
from evenhand.publish.figures.tuning_plot import (
    DOUBTFUL,
    Name,
    area,
    heading,
    key_lines,
    keys_drawn,
    keys_high,
    limit_line,
    names_drawn,
    placed,
    shown_limit,
    way,
)
from evenhand.publish.figures.tuning_scene import TuningMap, foot, next_said, who
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted, level_words, number, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Point, Words
from evenhand.publish.tuning_titles import map_titles
from evenhand.publish.tuning_words import clock_words, part_words
from evenhand.tuning.advice import Advice

AIR = 0.07  # of what is shown: left free above and below
NAMES_SHARE, NAMES_NARROW = 0.27, 0.34  # of the body's width: what names at the right take
LEAST_STEPS = 2.5  # so many steps of the clock are shown at least: ticks are at clocks that can be set
PLOT = 24  # of the type size: how high the body is where the picture may grow
CLOSEST = 0.5  # of a mark's size: marks are never drawn smaller than this


def clock_map(found: TuningMap, names: Names, *, style: Style) -> Picture:
    """The map as a picture."""
    names = replace(names.drawn(), terms="")  # how it was tuned is told here itself
    titles = map_titles(found.trials, found.told, part=isolated(part_words(found.part)), offset=found.offset)
    said, edge = heading(titles, style), _edge(found)
    begun = card_frame(
        said, foot(found, [edge] if edge else []), names, style, wanted=PLOT * style.text[1],
        more_foot=1, more_wide=1,
    )  # fmt: skip
    room = begun.body.right - begun.body.left
    keys = keys_of(found.trials, against=len(found.against), next_said=next_said(found))
    lines = key_lines([who(found, names), *keys], room, style)
    at = (begun.body.left, begun.body.top)
    axes = _axes(found, begun, at[1] + keys_high(lines, style))
    drawn = [*keys_drawn(lines, at, room, style), *grid(axes, "MHz"), _order(axes)]
    drawn += _edge_drawn(edge, axes)
    most = None if found.limit is None else found.limit.most
    drawn += [*_marks(found, axes), *limit_line(most, _limit_said(found), axes, _places(found, axes))]
    drawn += names_drawn(_names(edge, axes), axes.box, begun.body.right, style)
    return finish(
        begun, drawn, title=f"{said} ({names.setup(found.setup)}, {isolated(part_words(found.part))})",
        description=_seen(found), names=names,
    )  # fmt: skip


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


def _limit_said(found: TuningMap) -> tuple[str, ...]:
    if found.limit is None:
        return "no maker's limit on record", "no limit on record"
    above = ", above" if _limit_shown(found) is None else ""
    most = f"limit {clock_words(found.limit.most)}{above}"
    return f"maker's {most}", most


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
    drawn: list[Drawn] = []
    if edge.voltage_mv is not None:
        advised = _across(axes, edge.clock_mhz)
        drawn += [
            area(middle, advised, fill="band"),
            way(advised, Pen(ink="ink", width=axes.style.post)),
        ]
    dash = f"{7 * axes.style.unit:g} {3.5 * axes.style.unit:g}"
    drawn.append(area(high, low, fill="grey", opacity=DOUBTFUL))
    return [*drawn, way(middle, Pen(ink="post", width=0.9 * axes.style.post, dash=dash))]


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
    said += [f"{next_said(found).capitalize()}."] if found.next else []
    limit = found.limit
    said.append(
        "No limit of the maker's is on record." if limit is None else
        f"The maker's limit is {clock_words(limit.most)}, by {isolated(limit.source)}, "
        f"read on {day_words(limit.read_on)}."
    )  # fmt: skip
    return " ".join(said)
