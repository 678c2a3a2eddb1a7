"""A part's temperature against time, and the model that was fitted to it, with its band.

Everything comes as arrays, so that any model can be shown.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from evenhand.errors import NotEnoughRuns
from evenhand.publish.direction import isolated
from evenhand.publish.figures.axes import Axes, grid, guttered, stepped, time_below
from evenhand.publish.figures.card_frame import card_frame
from evenhand.publish.figures.frame import Frame, finish
from evenhand.publish.figures.thinning import Floats, turning_points
from evenhand.publish.figures.tuning.keys import Key, banded_sign, keyed, whose
from evenhand.publish.figures.tuning.limit_words import limit_sentence, source_line
from evenhand.publish.figures.tuning.plot import (
    DOUBTFUL,
    area,
    heading,
    level_line,
    limit_line,
    shown_limit,
    stretches,
    way,
)
from evenhand.publish.names import Names
from evenhand.publish.numbers import as_written, level_words, number, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Point, Words, line
from evenhand.publish.tuning.bands import kelvins
from evenhand.publish.tuning.titles import heat_titles
from evenhand.publish.tuning.words import part_words, whose_words
from evenhand.records.trials import Limit
from evenhand.tuning.heat_log import LONGEST_STEP

POINTS = 400  # a line goes through no more, nor through more than its plot has units across
AIR = 0.08
PLOT = 24  # of the type size: how high the body is where the picture may grow
LEAST_SPAN_C = 5.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HeatCurve:
    """Readings of a part's temperature and a fitted model on the same seconds; arrays of shape (n,).

    A reading that is missing is NaN. `low_c` and `high_c` are the ends of the model's band. `limit`
    is that of its temperature, `room_c` the air that the machine drew in. `said` are sentences for its head,
    the fullest first; without any the picture tells the hottest reading and how far the model is off. What is
    `doubted` opens its foot, and is never left out.
    """

    setup: str
    part: str
    times_s: Floats
    readings_c: Floats
    model_c: Floats
    low_c: Floats
    high_c: Floats
    limit: Limit | None = None
    room_c: float | None = None
    said: tuple[str, ...] = ()
    doubted: str = ""
    foot: tuple[str, ...] = ()

    @property
    def hottest_c(self) -> float:
        """The hottest reading."""
        return float(np.nanmax(self.readings_c))

    @property
    def off_c(self) -> float | None:
        """By how much the model and a reading lie apart in the middle; None without a model."""
        apart = np.abs(self.readings_c - self.model_c)
        return float(np.nanmedian(apart)) if np.isfinite(apart).any() else None

    @property
    def minutes(self) -> float:
        """How long the log is."""
        return float(self.times_s[-1] - self.times_s[0]) / 60


def heat_curve(found: HeatCurve, names: Names, *, style: Style) -> Picture:
    """The picture. Raises NotEnoughRuns where fewer than two readings can be drawn."""
    if np.isfinite(found.readings_c).sum() < 2 or found.minutes <= 0:
        raise NotEnoughRuns("fewer than two temperatures", where=found.part, todo="log for longer")
    names = replace(names.drawn(), terms="")
    said = heading(found.said or heat_titles(found.hottest_c, found.minutes, found.off_c), style)
    begun = card_frame(said, _foot(found), names, style, wanted=PLOT * style.text[1])
    who = whose(found.setup, part_words(found.part), names)
    drawn, top = keyed([who, *_keys(found)], begun.body, style)
    axes = _axes(found, begun, top)
    drawn += [*grid(axes, "°C"), *time_below(axes), *_curves(found, axes)]
    drawn += limit_line(_most(found), _limit_said(found), axes, _busy(found, axes))
    drawn += _room(found, axes)
    return finish(
        begun, drawn, title=f"{said} ({names.setup(found.setup)}, {isolated(part_words(found.part))})",
        description=_seen(found), names=names,
    )  # fmt: skip


def _foot(found: HeatCurve) -> list[str]:
    own = [found.doubted] if found.doubted else []
    own += [source_line(found.limit)] if found.limit else []
    return [*own, *found.foot]


def _limit_said(found: HeatCurve) -> tuple[str, ...]:
    if found.limit is None:
        return "no maker's limit on record", "no limit on record"
    most = f"limit {with_unit(as_written(found.limit.most), '°C')}"
    above = ", above" if shown_limit(found.limit.most, *_range(found)) is None else ""
    return f"{whose_words(found.limit).removeprefix('the ')} {most}{above}", f"{most}{above}"


def _most(found: HeatCurve) -> float | None:
    return None if found.limit is None else found.limit.most


def _range(found: HeatCurve) -> tuple[float, float]:
    known = [
        *(each[np.isfinite(each)] for each in (found.readings_c, found.low_c, found.high_c, found.model_c))
    ]
    ends = np.concatenate([*known, [] if found.room_c is None else [found.room_c]])
    low, high = float(ends.min()), float(ends.max())
    spare = max(LEAST_SPAN_C - (high - low), 0.0) / 2
    return low - spare, high + spare


def _axes(found: HeatCurve, begun: Frame, top: float) -> Axes:
    style, body, size = begun.style, begun.body, begun.style.text[1]
    low, high = _range(found)
    most = shown_limit(_most(found), low, high)
    air = AIR * (high - low)
    high = max(high + air, high if most is None else most + 2 * air)
    box = Box(
        left=body.left, top=top + (1.5 if most is None else 0.2) * size,
        right=body.right, bottom=body.bottom - 1.35 * size,
    )  # fmt: skip
    axes = Axes(box=box, style=style, end_s=60 * found.minutes, low=low - air, high=high)
    return guttered(stepped(axes), "°C")


def _curves(found: HeatCurve, axes: Axes) -> Iterator[Drawn]:
    """Readings as grey dots, then the model's band and line; broken where nothing is known."""
    style = axes.style
    for first, last in _unbroken(found, np.isfinite(found.readings_c)):
        yield way(_points(found, found.readings_c, axes, first, last), _reading(style.unit))
    known = np.isfinite(found.model_c) & np.isfinite(found.low_c) & np.isfinite(found.high_c)
    for first, last in _unbroken(found, known):
        ends = (
            _points(found, each, axes, first, last, like=found.model_c)
            for each in (found.high_c, found.low_c)
        )
        yield area(*ends, fill="grey", opacity=DOUBTFUL)
        yield way(_points(found, found.model_c, axes, first, last), Pen(ink="ink", width=0.9 * style.post))


def _unbroken(found: HeatCurve, known: npt.NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    """From where to where something is known and no row is missing: what nobody read is not drawn."""
    steps = np.diff(found.times_s)
    gaps = np.flatnonzero(steps > LONGEST_STEP * np.median(steps)) + 1
    for first, last in stretches(list(known)):
        starts = [first, *(int(gap) for gap in gaps if first < gap <= last)]
        yield from zip(starts, [*(start - 1 for start in starts[1:]), last], strict=True)


def _points(
    found: HeatCurve, values: Floats, axes: Axes, first: int, last: int, *, like: Floats | None = None
) -> list[Point]:
    """A stretch of values as places, at the turning points of these values or of others."""
    some = slice(first, last + 1)
    across = int((axes.box.right - axes.box.left) / axes.style.unit)
    kept = turning_points((values if like is None else like)[some], min(POINTS, across))
    times = found.times_s[some][kept] - found.times_s[0]
    return [(axes.x(float(t)), axes.y(float(v))) for t, v in zip(times, values[some][kept], strict=True)]


def _busy(found: HeatCurve, axes: Axes) -> list[Point]:
    known = np.flatnonzero(np.isfinite(found.readings_c))
    start = found.times_s[0]
    return [(axes.x(float(found.times_s[n] - start)), axes.y(float(found.readings_c[n]))) for n in known]


def _room(found: HeatCurve, axes: Axes) -> list[Drawn]:
    """The air that the machine drew in, as a line with its words."""
    if found.room_c is None:
        return []
    style, size = axes.style, axes.style.text[1]
    words = Words(x=0, y=0, text=f"room {_degrees(found.room_c)}", size=size, ink="ink2", halo="paper")
    pen = Pen(ink="post", width=style.hair * 1.6, dash=f"{2 * style.unit:g} {4 * style.unit:g}")
    return level_line(found.room_c, words, axes, _busy(found, axes), pen)


def _keys(found: HeatCurve) -> list[Key]:
    """What the two lines are."""
    keys = [Key(sign=[line((-7, 0), (7, 0), _reading(1.0))], text="readings")]
    if np.isfinite(found.model_c).any():
        keys.append(Key(sign=banded_sign(), text=f"fitted model, {level_words(0.95)} band"))
    return keys


def _reading(unit: float) -> Pen:
    return Pen(ink="grey", width=1.8 * unit)


def _degrees(value: float) -> str:
    return with_unit(number(value), "°C")


def _seen(found: HeatCurve) -> str:
    """What is seen, for whoever cannot see it."""
    known = found.readings_c[np.isfinite(found.readings_c)]
    ends = f"{_degrees(float(known[0]))} to {_degrees(float(known[-1]))}"
    long = with_unit(number(found.minutes), "min")
    said = [
        f"{long} across, degrees upward. Readings from {ends}, {_degrees(found.hottest_c)} at the hottest."
    ]
    if found.off_c is not None:
        off = kelvins(found.off_c, 1)
        said.append(f"The fitted model is off by {off} in the middle.")
    if found.room_c is not None:
        said.append(f"The room was at {_degrees(found.room_c)}.")
    if found.limit is None:
        said.append("No limit of the maker's is on record.")
    else:
        said.append(limit_sentence(found.limit, f"is {with_unit(as_written(found.limit.most), '°C')}"))
    return " ".join(said)
