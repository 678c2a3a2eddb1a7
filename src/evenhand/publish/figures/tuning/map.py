"""The map of a tuned part: clocks across, voltages upward, how trials ended, the edge, what is advised.

The edge is drawn in the hottest room that is expected. A map on which nothing failed, or nothing held, has no
edge: what would be drawn is only what was believed before.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from evenhand.publish.figures.axes import Axes, grid
from evenhand.publish.figures.frame import Frame
from evenhand.publish.figures.tuning.axes import Upward, axes_of, upward_of
from evenhand.publish.figures.tuning.clock_map import clock_map
from evenhand.publish.figures.tuning.edge import edge_drawn, edge_names, edge_of, edges_told
from evenhand.publish.figures.tuning.limit_words import limit_sentence
from evenhand.publish.figures.tuning.limits import Over, clock_limit_said, over_drawn, upright, words_over
from evenhand.publish.figures.tuning.marks import against_sign, counts, ended, next_sign, sign_of, stock_sign
from evenhand.publish.figures.tuning.plot import (
    CLOSEST,
    Name,
    limit_line,
    names_drawn,
    placed,
    values_below,
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
from evenhand.publish.numbers import capital, level_words
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Point
from evenhand.publish.tuning.words import clock_words, point_words, voltage_words
from evenhand.tuning.advice import Advice

NAMES_SHARE, NAMES_NARROW = 0.27, 0.31  # of the body's width: what names at the right take
LEAST_SPAN_MV = 20.0
NEAR = 0.25  # of what is shown: a limit farther above would press the trials together
BESIDE = 0.45  # of the way between two clocks: what is shown beyond the outermost
PLOT = 30  # of the type size: how high the body is where the picture may grow
WIDE = 13.0  # a mark at its full size


def tuning_map(found: TuningMap, names: Names, *, style: Style) -> Picture:
    """The map as a picture; of a part whose voltage is left alone with its clocks upward."""
    if found.clock_alone:
        return clock_map(found, names, style=style)
    edges, upward = _edges(found), _upward(found)
    begun = begun_map(found, edges, names, plot=PLOT, style=style, stock=_stock_marked(found, upward))
    over = _over(found, begun.frame, upward)
    axes = _axes(found, begun, upward, over)
    at, allowed = _at(found, axes), _allowed(found, axes)
    beside = [*edge_names(edges, at, allowed, offset=found.offset), *_stock(found, axes)]
    plot = [
        *grid(axes, "mV", signed=found.offset), *_clocks(found, axes, begun.frame.body),
        *edge_drawn(edges, at, allowed), *_limits_drawn(found, axes, begun.frame, upward, over),
        *_marks(found, axes), *_stock_mark(found, upward, axes),
        *names_drawn(beside, axes.box, begun.frame.body.right, style),
    ]  # fmt: skip
    return ended_map(found, begun, plot, seen=_seen(found))


def _stock(found: TuningMap, axes: Axes) -> Iterator[Name]:
    """Where stock lies, on a map of its clock alone whose edge is told: less voltage is sought there."""
    if found.stock is None or _all_clocks(found) != [found.stock[0]] or not _edges(found):
        return
    voltage = found.stock[1]
    if axes.low < voltage < axes.high:
        at = (_at(found, axes)[-1] + 8 * axes.style.unit, axes.y(voltage))
        yield Name(at=at, name="stock", under=(voltage_words(voltage, offset=found.offset),))


def _stock_marked(found: TuningMap, upward: Upward) -> bool:
    """Whether stock has a mark of its own: on a map of several clocks that reaches to it."""
    clocks = _all_clocks(found)
    if found.stock is None or len(clocks) < 2:
        return False
    return found.stock[0] in clocks and upward.low <= found.stock[1] <= upward.high


def _edges(found: TuningMap) -> Sequence[Advice]:
    return edges_told(found.advice)


def _over(found: TuningMap, begun: Frame, upward: Upward) -> Over:
    """The words of limits that stand over the plot: the voltage's where no line is drawn, and the clock's."""
    voltage = limit_said(found, above=True) if upward.limit is None else ()
    room = begun.body.right - begun.body.left
    return words_over(voltage, clock_limit_said(found, _across(found)[1]), room, begun.style)


def _clock_limit(found: TuningMap, axes: Axes) -> float | None:
    """Where the limit of the clock is drawn; None without one, and where it is that of the only clock.

    A map of one clock has no scale across on which a line could bound anything.
    """
    limit, (first, last) = found.clock_limit, _across(found)
    if limit is None or limit.most > last or _all_clocks(found) == [limit.most]:
        return None
    return axes.x(limit.most - first)


def _limits_drawn(
    found: TuningMap, axes: Axes, begun: Frame, upward: Upward, over: Over
) -> Iterator[Drawn]:  # fmt: skip
    """Both limits with their words; nothing stands over those of the voltage."""
    at = _clock_limit(found, axes)
    if at is not None:
        yield upright(at, axes.box, axes.style)
    middle = axes.box.right if at is None else at
    yield from over_drawn(over, axes.box, begun.body, middle, axes.style)
    if upward.limit is not None:
        yield from limit_line(upward.limit, limit_said(found, above=False), axes, _busy(found, axes))


def _allowed(found: TuningMap, axes: Axes) -> Axes:
    """The axes up to the limit of the clock: no line of what is advised reaches further."""
    most = _clock_limit(found, axes)
    return axes if most is None else replace(axes, box=replace(axes.box, right=min(axes.box.right, most)))


def _busy(found: TuningMap, axes: Axes) -> list[Point]:
    """Where marks and advised voltages lie."""
    first, _ = _across(found)
    points = [*found.points, *((a.clock_mhz, a.voltage_mv) for a in found.advice if a.voltage_mv is not None)]
    return [(axes.x(clock - first), axes.y(voltage)) for clock, voltage in points]


def _upward(found: TuningMap) -> Upward:
    """From which voltage to which."""
    tried = [voltage for _, voltage in found.points]
    tried += [each.voltage_mv for each in found.advice if each.voltage_mv is not None]
    ends = map(edge_of, _edges(found))
    return upward_of(found, tried, ends, least=LEAST_SPAN_MV, beyond=1.0, near=NEAR)


def _axes(found: TuningMap, begun: Begun, upward: Upward, over: Over) -> Axes:
    style = begun.frame.style
    first, last = _across(found)
    share = (NAMES_NARROW if style.narrow else NAMES_SHARE) if _edges(found) else 0.0
    top = begun.top + over.high(style)
    return axes_of(found, begun.frame, upward, across=last - first, top=top, named=share)


def _across(found: TuningMap) -> tuple[float, float]:
    """From which clock to which, with room for marks at both ends."""
    clocks = _all_clocks(found) or [0.0]
    apart = min((b - a for a, b in pairwise(clocks)), default=100.0)
    beside, last = BESIDE * apart, clocks[-1]
    limit = found.clock_limit
    if limit is not None and last < limit.most <= last + apart:
        last = limit.most
    return clocks[0] - beside, last + beside


def _all_clocks(found: TuningMap) -> list[float]:
    return sorted({clock for clock, _ in found.points} | {each.clock_mhz for each in found.advice})


def _at(found: TuningMap, axes: Axes) -> list[float]:
    """Where the clocks of the edges lie, in pixels."""
    first, _ = _across(found)
    return [axes.x(each.clock_mhz - first) for each in _edges(found)]


def _clocks(found: TuningMap, axes: Axes, body: Box) -> Iterator[Drawn]:
    """The clocks below the ground line; names stand at the right of it."""
    first, _ = _across(found)
    room = replace(body, right=min(body.right, axes.box.right + 0.4 * axes.style.text[1]))
    return values_below(_all_clocks(found), lambda clock: axes.x(clock - first), "MHz", axes, room)


def _marks(found: TuningMap, axes: Axes) -> Iterator[Drawn]:
    """A mark for each way in which trials at a point ended; then what contradicts, and what comes next."""
    (first, _), scale, beside = _across(found), _scale(found, axes), _beside(found, axes)
    ways: dict[tuple[float, float], set[str]] = {}
    for trial in found.trials:
        ways.setdefault((trial.clock_mhz, trial.voltage_mv), set()).add(ended(trial))
    for (clock, voltage), there in ways.items():
        own = [way for way in counts(found.trials) if way in there]
        for n, way in enumerate(own):
            aside = _aside(n, len(own), beside.get((clock, voltage), 0.0), WIDE * scale)
            yield from placed(sign_of(way), (axes.x(clock - first) + aside, axes.y(voltage)), scale)
    for clock, voltage in sorted(found.against):
        yield from placed(
            against_sign(), (axes.x(clock - first) + beside.get((clock, voltage), 0.0), axes.y(voltage)),
            1.1 * scale,
        )  # fmt: skip
    if found.next is not None:
        point = (found.next.clock_mhz, found.next.voltage_mv)
        at = (axes.x(point[0] - first) + beside.get(point, 0.0), axes.y(point[1]))
        yield from placed(next_sign(), at, scale)


def _stock_mark(found: TuningMap, upward: Upward, axes: Axes) -> Iterator[Drawn]:
    """The mark around stock."""
    if found.stock is not None and _stock_marked(found, upward):
        at = axes.x(found.stock[0] - _across(found)[0]) + _beside(found, axes).get(found.stock, 0.0)
        yield from placed(stock_sign(), (at, axes.y(found.stock[1])), _scale(found, axes))


def _aside(place: int, many: int, beside: float, wide: float) -> float:
    """How far from its clock a mark stands that is one of `many` at its point: outward where it is beside."""
    if beside:
        return beside + math.copysign(place * wide, beside)
    return (place - (many - 1) / 2) * wide


def _scale(found: TuningMap, axes: Axes) -> float:
    """How large marks may be so that neighbours stand apart, within reason."""
    volts = sorted({voltage for _, voltage in found.points})
    steps = [axes.y(a) - axes.y(b) for a, b in pairwise(volts)]
    wide = (axes.box.right - axes.box.left) / max(len(_all_clocks(found)), 1)
    room = min([wide / 2, *steps])
    unit = axes.style.unit
    return max(CLOSEST * unit, min(unit, room / WIDE))


def _beside(found: TuningMap, axes: Axes) -> dict[tuple[float, float], float]:
    """By how much marks stand beside their clock: in turn to either side where steps are less than a mark."""
    wide, beside = WIDE * _scale(found, axes), dict[tuple[float, float], float]()
    for clock in _all_clocks(found):
        volts = sorted({voltage for at, voltage in found.points if at == clock})
        side = -0.5
        for lower, upper in pairwise(volts):
            if axes.y(lower) - axes.y(upper) < 0.9 * wide:
                beside.setdefault((clock, lower), side * wide)
                side = -side
                beside[clock, upper] = side * wide
    return beside


def _seen(found: TuningMap) -> str:
    """What is seen, for whoever cannot see it."""
    said = ["Clocks across, voltages upward.", tried_seen(found)]
    said += [_edge_seen(each, offset=found.offset) for each in _edges(found)]
    said += [f"Against the order: {_points(found)}."] if found.against else []
    said += [f"{capital(next_said(found))}."] if found.next else []
    said.append(limit_seen(found))
    clock = found.clock_limit
    if clock is not None:
        said.append(limit_sentence(clock, f"of the clock is {clock_words(clock.most)}"))
    return " ".join(said)


def _edge_seen(advice: Advice, *, offset: bool) -> str:
    low, middle, high = (voltage_words(round(end), offset=offset) for end in edge_of(advice))
    said = (
        f"At {clock_words(advice.clock_mhz)} the edge lies at {middle} ({level_words(0.95)}: {low} to {high})"
    )
    if advice.voltage_mv is None:
        return f"{said}, none is advised."
    return f"{said}, {voltage_words(advice.voltage_mv, offset=offset)} is advised."


def _points(found: TuningMap) -> str:
    return "; ".join(point_words(*point, offset=found.offset) for point in sorted(found.against))
