"""What a tuned part draws and does for a joule by its clock: trials as read, the fitted law, the best clock.

Two plots over one scale: side by side where there is width, else below each other; where there is height
for one alone, that of the work. Of a part with one advised clock, voltages run across.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from evenhand.publish.direction import isolated
from evenhand.publish.faces import Face
from evenhand.publish.figures.axes import Axes, grid, guttered, stepped
from evenhand.publish.figures.card_frame import card_frame
from evenhand.publish.figures.frame import Frame, finish
from evenhand.publish.figures.tuning.axes import AIR
from evenhand.publish.figures.tuning.keys import Key, banded_sign, keyed, whose
from evenhand.publish.figures.tuning.limits import upright
from evenhand.publish.figures.tuning.marks import Ended, sign_of
from evenhand.publish.figures.tuning.plot import (
    DOUBTFUL,
    area,
    heading,
    level_line,
    placed,
    values_below,
    way,
)
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted, level_words, number, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.spans import percent
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Point, Words, line
from evenhand.publish.tuning.watts import band_words, lawful_words
from evenhand.publish.tuning.words import part_words, point_words
from evenhand.records.trials import Meter
from evenhand.tuning.bands import Band

PLOT, BOTH = 21, 33  # of the type size: how high one plot is where the picture may grow, and two of them
BETWEEN = 1.6  # of the type size: between two plots side by side
HEAD = 1.5  # of the type size: the name of a plot over it
BELOW = 1.35  # of the type size: the scale under a plot
BESIDE = 0.06  # of what runs across: left free beyond the outermost
LEAST_HIGH = 8.0  # of the type size: a lower plot, with its name and scale, tells nothing
LEAST_SHARE = 0.02  # of the watts: less than that is never spread over the whole height
FAR = 0.5  # of what values span: bands that reach farther are cut, or they would press all else together
SMALL = 0.62  # of a mark of the map: what readings scatter is seen beside it


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadWatts:
    """A trial: its point as voltages are written, how it ended, its watts and work per joule over stock.

    Bands are what readings scatter; `gain` is a ratio.
    """

    point: Point
    ended: Ended
    watts: Band
    gain: Band
    trial: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Lawful:
    """What the law says of a point (clock, voltage): watts, and work per joule over stock, a ratio."""

    point: Point
    watts: Band
    gain: Band


@dataclass(frozen=True, slots=True, kw_only=True)
class WattsCurve:
    """What a picture of watts shows. `law` is from left to right; with `by_voltage` its clock is one.

    `best` is the point with the most work for a joule of the advised; `stock` what `stock_w` is drawn at.
    `said` are wordings of the head, the fullest first, and `foot` what stands under it.
    """

    setup: str
    part: str
    load: str
    meter: Meter
    law: Sequence[Lawful]
    read: Sequence[ReadWatts]
    best: Lawful
    stock: Point
    stock_w: Band
    said: Sequence[str]
    foot: Sequence[str] = ()
    by_voltage: bool = False
    offset: bool = False

    def across(self, point: Point) -> float:
        """Where a point lies on what runs across: its clock, or its voltage."""
        return point[1] if self.by_voltage else point[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plot:
    """One of the two: its name, its unit, stock, the law's bands and what trials read."""

    name: str
    unit: str
    stock: float
    stock_said: str
    law: Sequence[Band]
    read: Sequence[Band]
    signed: bool = False


def watts_curve(found: WattsCurve, names: Names, *, style: Style) -> Picture:
    """The picture; needs one point of the law at least."""
    names = replace(names.drawn(), terms="")  # how it was tuned is told here itself
    said = heading(found.said, style)
    wanted = (BOTH if style.narrow else PLOT) * style.text[1]
    begun = card_frame(said, found.foot, names, style, wanted=wanted, more_foot=1, more_wide=1)
    who = whose(found.setup, f"{part_words(found.part)}, {isolated(found.load)}", names)
    drawn, top = keyed([who, *_keys(found)], begun.body, style)
    boxes = _boxes(begun, top)
    plots = (_watts(found), _gain(found))[-len(boxes) :]
    for plot, box, axes in zip(plots, boxes, _aligned(found, plots, boxes, style), strict=True):
        drawn += _plotted(found, plot, box, axes)
    part = isolated(part_words(found.part))
    return finish(
        begun, drawn, title=f"{said} ({names.setup(found.setup)}, {part})",
        description=_seen(found, both=len(boxes) > 1), names=names,
    )  # fmt: skip


def _watts(found: WattsCurve) -> _Plot:
    drawn = with_unit(number(found.stock_w.value), "W")
    return _Plot(
        name=f"watts at the {found.meter.value}", unit="W", stock=found.stock_w.value,
        stock_said=f"stock {drawn}", law=[each.watts for each in found.law],
        read=[each.watts for each in found.read],
    )  # fmt: skip


def _gain(found: WattsCurve) -> _Plot:
    return _Plot(
        name="work for a joule, over stock", unit="%", stock=0.0, stock_said="stock", signed=True,
        law=[_percent(each.gain) for each in found.law], read=[_percent(each.gain) for each in found.read],
    )  # fmt: skip


def _percent(ratio: Band) -> Band:
    return Band(value=percent(ratio.value), low=percent(ratio.low), high=percent(ratio.high))


def _boxes(begun: Frame, top: float) -> tuple[Box, ...]:
    """Where plots lie, with their names and scales: side by side, below each other, or one alone."""
    body, style = begun.body, begun.style
    if style.narrow:
        middle = (top + body.bottom) / 2
        if middle - top < LEAST_HIGH * style.text[1]:
            return (replace(body, top=top),)
        return replace(body, top=top, bottom=middle), replace(body, top=middle)
    half = BETWEEN * style.text[1] / 2
    middle = (body.left + body.right) / 2
    return replace(body, top=top, right=middle - half), replace(body, top=top, left=middle + half)


def _aligned(
    found: WattsCurve, plots: Sequence[_Plot], boxes: Sequence[Box], style: Style
) -> list[Axes]:  # fmt: skip
    """The axes of the plots; those below each other begin at one place, so that a clock is over itself."""
    own = [_axes(found, plot, box, style) for plot, box in zip(plots, boxes, strict=True)]
    left = max(axes.box.left for axes in own)
    return [replace(axes, box=replace(axes.box, left=left)) for axes in own] if style.narrow else own


def _plotted(found: WattsCurve, plot: _Plot, room: Box, axes: Axes) -> Iterator[Drawn]:
    """One plot in its room: grid, law, stock, what trials read, the best."""
    style, first = axes.style, _ends(found)[0]
    size, at = style.text[1], [axes.x(found.across(each.point) - first) for each in found.law]
    yield Words(x=room.left, y=room.top + 1.05 * size, text=plot.name, size=size, face=Face.STRONG)
    yield from grid(axes, plot.unit, signed=plot.signed)
    yield from values_below(
        _tried(found), lambda value: axes.x(value - first), "mV" if found.by_voltage else "MHz", axes, room,
        signed=found.by_voltage and found.offset,
    )  # fmt: skip
    yield from _law(plot.law, at, axes)
    best = axes.x(found.across(found.best.point) - first)
    yield upright(best, axes.box, style)
    marks = [(axes.x(found.across(each.point) - first), band) for each, band in zip(found.read, plot.read,
                                                                                  strict=True)]  # fmt: skip
    words = Words(x=0, y=0, text=plot.stock_said, size=size, ink="ink2", halo="paper")
    pen = Pen(ink="post", width=style.hair * 1.6, dash=f"{2 * style.unit:g} {4 * style.unit:g}")
    busy = [*((x, axes.y(band.value)) for x, band in marks), *zip(at, (axes.y(b.value) for b in plot.law),
                                                                  strict=True)]  # fmt: skip
    busy += [(best, y) for y in np.arange(axes.box.top, axes.box.bottom, 0.1 * size).tolist()]
    yield from level_line(plot.stock, words, axes, busy, pen)
    for (x, band), each in zip(marks, found.read, strict=True):
        yield line((x, axes.y(band.low)), (x, axes.y(band.high)), Pen(ink="ink", width=style.hair))
        yield from placed(sign_of(each.ended), (x, axes.y(band.value)), SMALL * style.unit)


def _law(bands: Sequence[Band], at: Sequence[float], axes: Axes) -> Iterator[Drawn]:
    """The law as a line in its grey band; of a single point as a short level one."""
    low, middle, high = (
        [axes.y(end) for end in ends] for ends in zip(*((b.low, b.value, b.high) for b in bands), strict=True)
    )
    across = list(at)
    if len(across) == 1:
        reach = 9 * axes.style.unit
        across = [across[0] - reach, across[0] + reach]
        low, middle, high = low * 2, middle * 2, high * 2
    upper, lower = (list(zip(across, ys, strict=True)) for ys in (high, low))
    yield area(upper, lower, fill="grey", opacity=DOUBTFUL)
    yield way(zip(across, middle, strict=True), Pen(ink="ink", width=0.9 * axes.style.post))


def _tried(found: WattsCurve) -> list[float]:
    """What runs across, each once, from left to right."""
    points = [*(each.point for each in found.law), *(each.point for each in found.read), found.stock]
    return sorted({found.across(point) for point in points})


def _ends(found: WattsCurve) -> tuple[float, float]:
    """From where to where it runs across, with room for marks at both ends."""
    tried = _tried(found)
    span = tried[-1] - tried[0] or 0.1 * abs(tried[0]) or 100.0
    return tried[0] - BESIDE * span, tried[-1] + BESIDE * span


def _axes(found: WattsCurve, plot: _Plot, room: Box, style: Style) -> Axes:
    size = style.text[1]
    low, high = _range(plot, found.stock_w.value)
    air = AIR * (high - low)
    first, last = _ends(found)
    box = Box(
        left=room.left, top=room.top + HEAD * size, right=room.right - 0.4 * size,
        bottom=room.bottom - BELOW * size,
    )  # fmt: skip
    axes = stepped(Axes(box=box, style=style, end_s=last - first, low=low - air, high=high + air))
    return guttered(axes, plot.unit, signed=plot.signed)


def _range(plot: _Plot, stock_w: float) -> tuple[float, float]:
    """From which value to which; of bands no more than tells something beside the values."""
    bands = [*plot.law, *plot.read]
    values = [plot.stock, *(band.value for band in bands)]
    low, high = min(values), max(values)
    least = LEAST_SHARE * (100.0 if plot.signed else stock_w)
    far = FAR * max(high - low, least)
    ends = [max(b.low, low - far) for b in bands], [min(b.high, high + far) for b in bands]
    low, high = min(low, *ends[0]), max(high, *ends[1])
    spare = max(least - (high - low), 0.0) / 2
    return low - spare, high + spare


def _keys(found: WattsCurve) -> Iterator[Key]:
    """What marks and lines are."""
    many = Counter(each.ended for each in found.read)
    for ended in Ended:
        if many[ended]:
            yield Key(sign=sign_of(ended), text=f"{ended} {number(many[ended])}")
    where = "its law" if found.by_voltage else "law, as advised"
    yield Key(sign=banded_sign(), text=f"{where}, {level_words(0.95)} band")
    dash = Pen(ink="ink", width=2.0, dash="5 2.5")
    clock, voltage = found.best.point
    if found.by_voltage:
        at = point_words(clock, voltage, offset=found.offset).rpartition(" at ")[2]
        told = f"advised: {at}"
    else:
        told = f"most for a joule: {with_unit(number(clock), 'MHz')}"
    yield Key(sign=[line((0, -7), (0, 7), dash)], text=told)


def _seen(found: WattsCurve, *, both: bool) -> str:
    """What is seen, for whoever cannot see it; without `both` plots that of the work."""
    what = "Voltages" if found.by_voltage else "Clocks"
    watts, work = f"watts at the {found.meter.value}", "work for a joule over stock"
    said = [f"{what} across; {f'{watts}, and {work}, upward' if both else f'{work} upward'}."]
    told = [each for each in found.law if not found.by_voltage or each.point == found.best.point]
    for each in told:
        watts, gain = lawful_words(each.watts, each.gain)
        said.append(f"By the law {point_words(*each.point, offset=found.offset)} takes {watts}, {gain}.")
    read = [each.watts.value for each in found.read]
    if read:
        ends = f"{number(math.floor(min(read)))} to {with_unit(number(math.ceil(max(read))), 'W')}"
        said.append(f"{counted(len(read), 'trial').capitalize()} read {ends}.")
    at = point_words(*found.best.point, offset=found.offset)
    said.append(f"{'Advised is' if found.by_voltage else 'The most work for a joule is at'} {at}.")
    stock = point_words(*found.stock, offset=found.offset)
    return " ".join([*said, f"Stock, {stock}, takes {band_words(found.stock_w, 'W')}."])
