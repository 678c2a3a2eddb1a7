"""The edge of a tuned part on its map: a line in its grey band, and above it what is kept free."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.publish.figures.axes import Axes
from evenhand.publish.figures.tuning.plot import DOUBTFUL, Name, area, stretches, way
from evenhand.publish.numbers import level_words, number, with_unit
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn, Pen, Point
from evenhand.publish.tuning.words import clock_words, voltage_words
from evenhand.tuning.advice import Advice, Withheld

ALONE = 0.3  # of the plot's width: how far lines reach to either side of the only clock
SHORT = 9  # units: and to either side of one that is advised among others that are not
UNTOLD = frozenset({Withheld.NEVER_FAILED, Withheld.NEVER_HELD})


def edges_told(advice: Sequence[Advice]) -> tuple[Advice, ...]:
    """The clocks whose edge trials tell: something failed there, and something held."""
    return tuple(each for each in advice if each.edge_mv is not None and each.withheld not in UNTOLD)


def edge_of(advice: Advice) -> tuple[float, float, float]:
    """The lower end, the middle and the upper end of where the edge may be."""
    return advice.edge_mv or (0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Guarded:
    """Neighbouring clocks with a voltage: that line, and the middle of the edge below it."""

    last: Advice
    advised: list[Point]
    below: list[Point]


def edge_drawn(edges: Sequence[Advice], at: Sequence[float], axes: Axes) -> list[Drawn]:
    """Guard band, the edge's own band, and both lines, from the first clock to the last.

    `at` says where the clocks lie; beyond them nothing was tried, so no line reaches there.
    """
    if not edges:
        return []
    drawn: list[Drawn] = []
    for each in _guarded(edges, at, axes):
        drawn.append(area(each.advised, each.below, fill="band"))
        drawn.append(way(each.advised, Pen(ink="ink", width=axes.style.post)))
    low, middle, high = (_line([axes.y(edge_of(each)[n]) for each in edges], at, axes) for n in range(3))
    return [*drawn, *edge_band(low, middle, high, axes.style)]


def edge_band(
    low: Sequence[Point], middle: Sequence[Point], high: Sequence[Point], style: Style
) -> list[Drawn]:  # fmt: skip
    """Where the edge may lie in grey, and its middle as a broken line."""
    dash = f"{7 * style.unit:g} {3.5 * style.unit:g}"
    return [
        area(high, low, fill="grey", opacity=DOUBTFUL),
        way(middle, Pen(ink="post", width=0.9 * style.post, dash=dash)),
    ]


def _guarded(edges: Sequence[Advice], at: Sequence[float], axes: Axes) -> list[_Guarded]:
    """Stretches of clocks with a voltage; none is drawn past the maker's limit, or beyond a clock without."""
    found = []
    for first, last in stretches([each.voltage_mv is not None for each in edges]):
        some, here = edges[first : last + 1], at[first : last + 1]
        only = len(edges) == 1
        limits = [axes.y(each.limit.most) for each in some if each.limit is not None]
        advised = _line([axes.y(each.voltage_mv or 0.0) for each in some], here, axes, only=only)
        found.append(
            _Guarded(
                last=some[-1], advised=[(x, max([y, *limits])) for x, y in advised],
                below=_line([axes.y(edge_of(each)[1]) for each in some], here, axes, only=only),
            )
        )  # fmt: skip
    return found


def _line(ys: Sequence[float], at: Sequence[float], axes: Axes, *, only: bool = True) -> list[Point]:
    """Places at clocks as a line; a clock that is alone has a level one, which spans no other clock.

    `only` says that the map has no other clock, so that there is room for a wider one.
    """
    box = axes.box
    if len(at) > 1:
        return list(zip(at, ys, strict=True))
    reach = ALONE * (box.right - box.left) if only else SHORT * axes.style.unit
    return [(max(at[0] - reach, box.left), ys[0]), (min(at[0] + reach, box.right), ys[0])]


def edge_names(edges: Sequence[Advice], at: Sequence[float], axes: Axes, *, offset: bool) -> list[Name]:
    """What stands at the right, of the clock that is told: the highest with a voltage, else the highest."""
    if not edges:
        return []
    advised = [n for n, each in enumerate(edges) if each.voltage_mv is not None]
    told_at = advised[-1] if advised else len(edges) - 1
    low, middle, high = edge_of(edges[told_at])
    span = f"{number(low, signed=offset)} to {number(high, signed=offset)}"
    told = with_unit(span, "mV")
    line = _line([axes.y(edge_of(each)[1]) for each in edges], at, axes)
    x, y = line[told_at] if len(edges) > 1 else line[-1]
    said = (f"{told} at {level_words(0.95)}", told, voltage_words(round(middle), offset=offset))
    return [Name(at=(x, y), name="edge", under=said), *_advised_names(edges, at, axes, offset=offset)]


def _advised_names(edges: Sequence[Advice], at: Sequence[float], axes: Axes, *, offset: bool) -> list[Name]:
    parts = _guarded(edges, at, axes)
    if not parts:
        return []
    end, (x, y), (_, below) = parts[-1].last, parts[-1].advised[-1], parts[-1].below[-1]
    volts = end.voltage_mv or 0.0
    free, said = with_unit(number(volts - edge_of(end)[1]), "mV"), voltage_words(volts, offset=offset)
    return [
        Name(at=(x, (y + below) / 2), name="guard band", under=(f"{free} kept free", free)),
        Name(at=(x, y), name="advised", under=(f"{said} at {clock_words(end.clock_mhz)}", said)),
    ]
