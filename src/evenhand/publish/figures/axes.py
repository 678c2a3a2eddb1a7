"""The axes of a picture over a run: seconds to the right, a quantity upward, places marked through both."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.publish.faces import width
from evenhand.publish.figures.frame import nice_steps, tick_decimals
from evenhand.publish.numbers import number, with_unit
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, rect
from evenhand.records.faults import Place, Severity

NEAR = 8  # units: places nearer to each other than this are drawn as one
LONG_S = 300  # runs from this length on are told in minutes
TICK = 4  # units: how far a tick reaches
CLEAR = 0.3  # of the type size: ticks keep this far from the ends of their scale
APART = 0.9  # of the type size: and this far from each other
NEXT = 2.6  # from a round step to the next smaller one: 5, 2, 1, 0.5
TALL = 7.0  # of the type size: from this height on three ticks are wanted


@dataclass(frozen=True, slots=True, kw_only=True)
class Axes:
    """Seconds and a quantity to pixels within `box`; `step` parts the ticks, one of which is `origin`."""

    box: Box
    style: Style
    end_s: float
    low: float
    high: float
    step: float = 1.0
    origin: float = 0.0

    def x(self, seconds: float) -> float:
        """The place of a time, held within the box."""
        return self.box.left + min(max(seconds / self.end_s, 0.0), 1.0) * (self.box.right - self.box.left)

    def y(self, value: float) -> float:
        """The place of a value, held within the box."""
        share = (value - self.low) / (self.high - self.low)
        return self.box.bottom - min(max(share, 0.0), 1.0) * (self.box.bottom - self.box.top)

    @property
    def ticks(self) -> list[float]:
        """The round values between the ends, none so near an end that its number would stand outside."""
        clear = CLEAR * self.style.text[1] / (self.box.bottom - self.box.top) * (self.high - self.low)
        low, high = self.low + clear - self.origin, self.high - clear - self.origin
        first, last = -int(-low // self.step), int(high // self.step)
        return [self.origin + i * self.step for i in range(first, last + 1)]


def stepped(axes: Axes) -> Axes:
    """The axes with the largest round step that shows two ticks, or three where there is height for them."""
    height, size = axes.box.bottom - axes.box.top, axes.style.text[1]
    wanted = 3 if height > TALL * size else 2
    step = nice_steps(axes.high - axes.low, 1)
    found = replace(axes, step=step)
    for _ in range(4):
        tried = replace(axes, step=nice_steps(step / NEXT, 1))
        apart = tried.step / (axes.high - axes.low) * height
        if len(found.ticks) >= wanted or apart < APART * size:
            break
        step, found = tried.step, tried
    return found if len(found.ticks) > 1 else _two_ticks(found)


def _two_ticks(axes: Axes) -> Axes:
    """The same with a less round step where that shows two ticks: one alone tells no scale."""
    span, least = axes.high - axes.low, APART * axes.style.text[1]
    power = 10.0 ** math.floor(math.log10(span))
    for step in (m * power / tenth for tenth in (1, 10) for m in (8, 6, 5, 4, 3, 2, 1.5, 1)):
        tried = replace(axes, step=step)
        if step / span * (axes.box.bottom - axes.box.top) >= least and len(tried.ticks) > 1:
            return tried
    return axes


def on_steps(axes: Axes, own: float, at: float) -> Axes:
    """The axes with ticks at what can be set: `at` and whole steps of `own` away, where these are whole.

    A step of 0 is not known: the axes stay as they are.
    """
    if own <= 0 or not (at % own).is_integer():
        return axes
    for many in (n * 10**power for power in range(6) for n in (1, 2, 4, 5, 8)):
        step = many * own
        if step.is_integer() and step >= axes.step:
            found = replace(axes, step=step, origin=at % own)
            return found if found.ticks else axes
    return axes


def tick_words(axes: Axes, unit: str, *, signed: bool = False) -> list[str]:
    """The ticks in words, the unit at the highest."""
    decimals = tick_decimals(axes.step)
    texts = [number(t, decimals, signed=signed) for t in axes.ticks]
    return [*texts[:-1], *(with_unit(text, unit) for text in texts[-1:])]


def gutter(texts: Sequence[str], style: Style) -> float:
    """How much room these ticks need at the left."""
    return max((width(text, style.text[1]) for text in texts), default=0.0) + 0.4 * style.text[1]


def guttered(axes: Axes, unit: str, *, signed: bool = False) -> Axes:
    """The same with its left end moved in, so that its ticks with their unit stand in the room it had."""
    left = axes.box.left + gutter(tick_words(axes, unit, signed=signed), axes.style)
    return replace(axes, box=replace(axes.box, left=left))


def grid(axes: Axes, unit: str, *, signed: bool = False) -> list[Drawn]:
    """Round values as lines with their numbers, and the ground line."""
    style, box, size = axes.style, axes.box, axes.style.text[1]
    hair = Pen(ink="line", width=style.hair)
    drawn: list[Drawn] = [line((box.left, axes.y(t)), (box.right, axes.y(t)), hair) for t in axes.ticks]
    label = Words(x=box.left - 0.4 * size, y=0, text="", size=size, anchor="end", ink="ink2")
    drawn += [
        replace(label, y=axes.y(t) + 0.35 * size, text=text)
        for t, text in zip(axes.ticks, tick_words(axes, unit, signed=signed), strict=True)
    ]
    return [*drawn, line((box.left, box.bottom), (box.right, box.bottom), Pen(ink="post", width=style.hair))]


def time_below(axes: Axes) -> list[Drawn]:
    """Round times below the ground line, the unit at the last."""
    style, box, size = axes.style, axes.box, axes.style.text[1]
    scale, unit = (60.0, "min") if axes.end_s >= LONG_S else (1.0, "s")
    end = axes.end_s / scale
    step = nice_steps(end, max(1, min(6, int((box.right - box.left) / (4.5 * size)))))
    ticks = [i * step for i in range(int(end / step + 1e-9) + 1)]
    pen, decimals = Pen(ink="post", width=style.hair), tick_decimals(step)
    drawn: list[Drawn] = []
    for t in ticks:
        x, text = axes.x(t * scale), number(t, decimals)
        drawn.append(line((x, box.bottom), (x, box.bottom + TICK * style.unit), pen))
        words = Words(x=x, y=box.bottom + 1.05 * size, text=text, size=size, anchor="middle", ink="ink2")
        drawn.append(held(replace(words, text=with_unit(text, unit)) if t == ticks[-1] else words, box))
    return drawn


def held(words: Words, box: Box) -> Words:
    """The words, moved just so far that they stay within the box's width."""
    over, under = words.box.right - box.right, box.left - words.box.left
    return replace(words, x=words.x - max(over, 0.0) + max(under, 0.0))


def mark_places(places: Sequence[Place], axes: Axes, severity: Severity, *, bottom: float) -> list[Drawn]:
    """Places down to `bottom`: a bar above, dashed lines down, a pale ground unless they are long.

    What is only a note is marked without red.
    """
    box, style = axes.box, axes.style
    ink, pale = ("post", "band") if severity is Severity.NOTE else ("fault-edge", "fault-bg")
    dash = f"{3 * style.unit:g} {3 * style.unit:g}"
    edge, bar = Pen(ink=ink, width=style.post * 0.6, dash=dash), Pen(ink=ink, width=style.post * 1.4)
    spans = _spans(places, axes)
    drawn: list[Drawn] = []
    if sum(right - left for left, right in spans) < (box.right - box.left) / 3:
        grounds = (Box(left=x, top=box.top, right=end, bottom=bottom) for x, end in spans)
        drawn += [rect(ground, fill=pale) for ground in grounds]
    for left, right in spans:
        narrow = right - left < TICK * style.unit
        drawn += [line((x, box.top), (x, bottom), edge) for x in ([left] if narrow else [left, right])]
        drawn.append(line((left, box.top), (right, box.top), bar))
    return drawn


def veiled(places: Sequence[Place], axes: Axes, *, bottom: float) -> list[Drawn]:
    """A ground over parts that are shown and do not count, with an edge where counting begins or ends."""
    box, edge = axes.box, Pen(ink="post", width=axes.style.post * 0.6)
    drawn: list[Drawn] = []
    for left, right in _spans(places, axes):
        drawn.append(rect(Box(left=left, top=box.top, right=right, bottom=bottom), fill="band"))
        x = left if left > box.left else right
        drawn.append(line((x, box.top), (x, bottom), edge))
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
