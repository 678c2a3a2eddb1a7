"""Views with time to the right: what range they need, and how each is drawn on its axes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from evenhand.errors import NotEnoughRuns
from evenhand.publish.figures.axes import Axes, grid, tick_words
from evenhand.publish.figures.evidence_views import OverTime
from evenhand.publish.figures.thinning import Floats, turning_points
from evenhand.publish.figures.trace_forms import (
    dotted_trace,
    limits_of,
    lines_of,
    long_ticks,
    long_words,
    own_trace,
    sibling_traces,
)
from evenhand.publish.numbers import capital, counted, margin_words, number, with_unit
from evenhand.publish.palette import Slot
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, path, rect
from evenhand.triage.exhibits.forms import Differences, Moments, Readings, Series, Traces

POINTS = 600  # a line goes through no more
EDGE = 0.05  # of a sibling's readings: as many at either end of them set no scale
FEWEST_WITHIN = 8
LIMIT_AT = (-0.25, 0.95, -0.7, 1.4, 1.9, 2.4)  # type sizes from a limit to its words: the nearest clear place
LIMIT_CLEAR = 0.65  # of the type size: from the middle of those words to any line
LEAST_SEEN = 0.003  # of the time to the right: a trace that takes less is a stroke of a few pixels


@dataclass(frozen=True, slots=True, kw_only=True)
class Scope:
    """What a view needs of its axes: from which value to which, in which unit, to which second."""

    low: float
    high: float
    unit: str
    end_s: float
    signed: bool = False
    rows: int = 0


def scope_of(view: OverTime, run: str) -> Scope:
    """The scale of a view. Raises NotEnoughRuns where it holds nothing that can be drawn."""
    if isinstance(view, Traces):
        return _trace_scope(view, run)
    if isinstance(view, Moments):
        rows = (view.own, *view.siblings)
        return Scope(low=0, high=len(rows), unit="", end_s=_end(rows), rows=len(rows))
    if isinstance(view, Differences):
        ends = [0.0, *(view.allowed or ())]
        return _scope((*view.against, *view.among), ends, ("%", _end([view.times_s])), signed=True)
    return _readings_scope(view)


def _readings_scope(view: Readings) -> Scope:
    """A scale for what the run reads, and for nearly all that its siblings do.

    A reading taken just before a run began or as it ended, at rest, would press all others into a line.
    """
    ends = [] if view.limit is None else [view.limit]
    end_s = _end([r.times_s for r in (view.own, *view.siblings)])
    usual = [np.quantile(known, (EDGE, 1 - EDGE)) for r in view.siblings if (known := _finite(r)).size]
    return _scope([_within(_finite(view.own)), *usual], ends, (view.unit, end_s))


def _finite(reading: Series) -> Floats:
    return reading.values[np.isfinite(reading.values)]


def _within(values: Floats) -> Floats:
    """Without the first and the last reading, where enough are left."""
    return values[1:-1] if values.size >= FEWEST_WITHIN else values


def _end(times: Sequence[Floats]) -> float:
    return max((float(t.max()) for t in times if t.size), default=0.0)


def _trace_scope(view: Traces, run: str) -> Scope:
    own = lines_of([view.frame_times_ms])
    if not own:
        raise NotEnoughRuns("no readable frame to draw", where=run, todo="choose another run")
    traces = [*own, *lines_of(view.siblings, view.begins_s)]
    low, high = limits_of(traces)
    marked = view.density.marked if view.density else ()
    low, high = min([low, *(w.from_ms for w in marked)]), max([high, *(w.to_ms for w in marked)])
    end_s = max(trace.end_s for trace in traces)
    return Scope(low=max(0.0, low - 0.12 * (high - low)), high=high, unit="ms", end_s=end_s)


def _scope(
    series: Sequence[Floats], ends: Sequence[float], told: tuple[str, float], *, signed: bool = False
) -> Scope:
    """From the least to the greatest of what is drawn, with a little air."""
    known = np.concatenate([*(s[np.isfinite(s)] for s in series), np.array(ends, float)])
    low, high = (float(known.min()), float(known.max())) if known.size else (0.0, 1.0)
    air = 0.1 * (high - low) or 0.05 * abs(high) or 1.0
    return Scope(low=low - air, high=high + air, unit=told[0], end_s=told[1], signed=signed)


def ticks_of(scope: Scope, axes: Axes) -> list[str]:
    """The ticks of these axes in words; rows have none."""
    return [] if scope.rows else tick_words(axes, scope.unit, signed=scope.signed)


def captions_of(view: OverTime, scope: Scope) -> list[str]:
    """What a view shows, and what is grey in it, in sentences of which the first matters most."""
    if isinstance(view, Traces):
        ticks = ["Ticks: longer frames."] if _longer(view, scope) else []
        return [f"{view.what}.", *_too_short(view, scope), *_greys(view), *ticks]
    if isinstance(view, Differences):
        grey = [f"Grey: {view.grey}."] if view.among else []
        return [f"{view.what}.", *([f"Band: {_band_words(view.allowed)}."] if view.allowed else []), *grey]
    if isinstance(view, Moments):
        return [f"{view.what}: {number(view.own.size)}.", *_theirs(view)]
    return [f"{view.what}.", *_grey(len(view.siblings))]


def in_full(view: OverTime, scope: Scope) -> str:
    """The same for the description, long frames counted."""
    if isinstance(view, Traces):
        said = [f"{view.what}.", *_too_short(view, scope), *_greys(view), _longer(view, scope)]
        return " ".join(sentence for sentence in said if sentence)
    return " ".join(captions_of(view, scope))


def _too_short(view: Traces, scope: Scope) -> list[str]:
    """What is said of a run that is too short to be seen beside its siblings."""
    own = lines_of([view.frame_times_ms])[0]
    seen = own.end_s - own.begins_s > LEAST_SEEN * scope.end_s
    return [] if seen else [f"{capital(counted(own.frame_times_ms.size, 'frame'))}: too short to draw."]


def _longer(view: Traces, scope: Scope) -> str:
    return long_words(lines_of([view.frame_times_ms])[0], lines_of(view.siblings), scope.high)


def _greys(view: Traces) -> list[str]:
    drawn = len(lines_of(view.siblings))
    return [f"Grey: {view.grey}."] if view.grey and drawn else _grey(drawn)


def _grey(siblings: int) -> list[str]:
    return [f"Grey: {counted(siblings, 'sibling')}."] if siblings else []


def _theirs(view: Moments) -> list[str]:
    """How many siblings there are, and how many hitches each has."""
    counts = sorted(times.size for times in view.siblings)
    if not counts:
        return []
    each = number(counts[0]) + (f" to {number(counts[-1])}" if counts[-1] > counts[0] else "")
    return [f"Grey: {counted(len(counts), 'sibling')}, {each}{' each' if len(counts) > 1 else ''}."]


def _band_words(allowed: tuple[float, float]) -> str:
    low, high = allowed
    decimals = 0 if low == int(low) and high == int(high) else 1
    if low == -high:
        return margin_words(round(high, decimals) / 100)
    ends = [number(end, decimals, signed=True) for end in (low, high)]
    return with_unit(f"{ends[0]} to {ends[1]}", "%")


def draw_over_time(view: OverTime, scope: Scope, axes: Axes, slot: Slot) -> list[Drawn]:
    """The view on its axes."""
    if isinstance(view, Traces):
        own, siblings = lines_of([view.frame_times_ms])[0], lines_of(view.siblings, view.begins_s)
        drawn_own = dotted_trace(own, slot, axes) if view.dots else own_trace(own, slot, axes)
        traces = [*sibling_traces(siblings, axes), drawn_own]
        return [*grid(axes, "ms"), *traces, *long_ticks(own, siblings, axes)]
    if isinstance(view, Moments):
        return _hitch_rows(view, axes, slot)
    if isinstance(view, Differences):
        return _difference(view, axes, slot)
    return _sensor(view, scope, axes, slot)


def _difference(view: Differences, axes: Axes, slot: Slot) -> list[Drawn]:
    """The band between its posts, siblings among themselves pale, the run against each in its colour."""
    box, style = axes.box, axes.style
    drawn: list[Drawn] = []
    if view.allowed:
        top, bottom = axes.y(view.allowed[1]), axes.y(view.allowed[0])
        post = Pen(ink="post", width=style.post * 0.8)
        drawn.append(rect(Box(left=box.left, top=top, right=box.right, bottom=bottom), fill="band"))
        drawn += [line((box.left, y), (box.right, y), post) for y in (top, bottom)]
    dots = Pen(ink="post", width=style.hair * 1.3, dash=f"{style.hair * 1.3:.1f} {4.5 * style.unit:.1f}")
    drawn += [*grid(axes, "%", signed=True), line((box.left, axes.y(0)), (box.right, axes.y(0)), dots)]
    pale, own = (
        Pen(ink="grey", width=1.2 * style.unit, opacity=0.6),
        Pen(ink=slot.ink, width=1.9 * style.unit),
    )
    for series, pen in ((view.among, pale), (view.against, own)):
        drawn += [_curve(Series(times_s=view.times_s, values=values), axes, pen) for values in series]
    return drawn


def _sensor(view: Readings, scope: Scope, axes: Axes, slot: Slot) -> list[Drawn]:
    pale = Pen(ink="grey", width=1.6 * axes.style.unit, opacity=0.6)
    own = Pen(ink=slot.ink, width=2.4 * axes.style.unit)
    siblings = [_curve(reading, axes, pale) for reading in view.siblings]
    return [*grid(axes, scope.unit), *siblings, *_limit(view, axes), _curve(view.own, axes, own)]


def _limit(view: Readings, axes: Axes) -> list[Drawn]:
    """The limit as a dashed line, named at the end that the run is farther from."""
    if view.limit is None:
        return []
    box, style, size = axes.box, axes.style, axes.style.text[1]
    y, known = axes.y(view.limit), view.own.values[np.isfinite(view.own.values)]
    dash = Pen(ink="post", width=style.post * 0.8, dash=f"{5 * style.unit:g} {4 * style.unit:g}")
    at_left = known.size > 0 and abs(known[0] - view.limit) > abs(known[-1] - view.limit)
    x, anchor = (box.left + 0.3 * size, "start") if at_left else (box.right - 0.3 * size, "end")
    words = Words(x=x, y=y - 0.25 * size, text=view.limit_words, size=size, anchor=anchor, halo="paper")
    tried = [replace(words, y=y + lines * size) for lines in LIMIT_AT]
    far = [_clear(one, view, axes) for one in tried]
    clear = [one for one, by in zip(tried, far, strict=True) if by >= LIMIT_CLEAR * size]
    words = clear[0] if clear else tried[far.index(max(far))]
    return [line((box.left, y), (box.right, y), dash), *([words] if view.limit_words else [])]


def _clear(words: Words, view: Readings, axes: Axes) -> float:
    """How far these words stand from every line under or over them; below 0 where they leave the box."""
    box, at = axes.box, words.box
    if at.top < box.top or at.bottom > box.bottom:
        return -1.0
    middle = (at.top + at.bottom) / 2
    apart = [
        abs(y - middle) for r in (view.own, *view.siblings) for y in _heights(r, (at.left, at.right), axes)
    ]
    apart += [abs(axes.y(tick) - middle) for tick in axes.ticks]
    return min(apart, default=box.bottom - box.top)


def _heights(reading: Series, across: tuple[float, float], axes: Axes) -> list[float]:
    """Where a line lies between two places of the picture."""
    width = axes.box.right - axes.box.left
    first, last = ((x - axes.box.left) / width * axes.end_s for x in across)
    there = (reading.times_s >= first) & (reading.times_s <= last) & np.isfinite(reading.values)
    return [axes.y(float(value)) for value in reading.values[there]]


def _curve(reading: Series, axes: Axes, pen: Pen) -> Drawn:
    """A line through the readings, broken where one is missing."""
    kept = turning_points(reading.values, POINTS)
    parts, up = [], True
    for second, value in zip(reading.times_s[kept], reading.values[kept], strict=True):
        if np.isnan(value):
            up = True
            continue
        parts.append(f"{'M' if up else 'L'}{axes.x(float(second)):.1f} {axes.y(float(value)):.1f}")
        up = False
    return path("".join(parts), pen)


def _hitch_rows(view: Moments, axes: Axes, slot: Slot) -> list[Drawn]:
    """One row a run, this one on top and taller, a stroke at each hitch."""
    box, style = axes.box, axes.style
    rows = (view.own, *view.siblings)
    shares = [2.0, *[1.0] * len(view.siblings)]
    unit = (box.bottom - box.top) / sum(shares)
    drawn: list[Drawn] = []
    top = box.top
    for i, (times, share) in enumerate(zip(rows, shares, strict=True)):
        tall = share * unit
        middle, reach = top + tall / 2, 0.36 * tall
        pen = Pen(ink=slot.ink if i == 0 else "grey", width=(2.4 if i == 0 else 1.6) * style.unit)
        xs = sorted({round(axes.x(float(s))) for s in times})  # of thousands many share a pixel
        drawn += [line((x, middle - reach), (x, middle + reach), pen) for x in xs]
        drawn.append(line((box.left, top + tall), (box.right, top + tall), Pen(ink="line", width=style.hair)))
        top += tall
    return drawn
