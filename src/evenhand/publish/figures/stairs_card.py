"""A card of stairs: what goes up in steps over money or months, each line named at the right."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.card_frame import card_frame, shortest
from evenhand.publish.figures.frame import Frame, centred, finish, nice_steps, tick_decimals
from evenhand.publish.names import Names
from evenhand.publish.numbers import number
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, mark, path

NAMES_SHARE = 0.32  # of the body's width: what names and their numbers at the right take
TWO_LINES = 2.36  # of the type size: a name with its numbers below
BELOW = 1.9  # of the type size: room for the ticks below the plot


@dataclass(frozen=True, slots=True, kw_only=True)
class Stair:
    """One line: from where on it stands how high, the last step up to the end; `setup` "" for none of them.

    `name` is written at the right and below it the first wording of `under` that has room. A line of a single
    place is only a mark.
    """

    steps: Sequence[tuple[float, float]]
    name: str
    under: tuple[str, ...]
    setup: str = ""
    is_mark: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Stairs:
    """What a card of stairs shows up to `end`: `ticks` across with their words, `upward` what heights are."""

    headline: str
    foot: Sequence[str]
    upward: str
    lines: Sequence[Stair]
    ticks: Sequence[tuple[float, str]]
    end: float
    described: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plot:
    box: Box
    first: float
    last: float
    low: float
    high: float

    def x(self, at: float) -> float:
        return self.box.left + (self.box.right - self.box.left) * (at - self.first) / (self.last - self.first)

    def y(self, height: float) -> float:
        share = (height - self.low) / (self.high - self.low)
        return self.box.bottom - share * (self.box.bottom - self.box.top)


def stairs_card(found: Stairs, names: Names, *, style: Style) -> Picture:
    """The lines in the colours of their setups, those of none in grey, named at the right."""
    names = names.drawn()
    begun = card_frame(found.headline, list(found.foot), names, style)
    plot = _plot(found, begun)
    drawn = [*_grid(plot, found, begun), *_ticks(plot, found, style)]
    for each in found.lines:
        drawn += _line(each, plot, names, style)
    drawn += _labels(found, plot, begun, names)
    return finish(begun, drawn, title=found.headline, description=found.described, names=names)


def _plot(found: Stairs, begun: Frame) -> _Plot:
    style, body, size = begun.style, begun.body, begun.style.text[1]
    heights = [height for each in found.lines for _, height in each.steps]
    places = [at for each in found.lines for at, _ in each.steps]
    places += [found.end, *(at for at, _ in found.ticks)]
    spread = max(max(heights) - min(heights), 0.02 * max(heights))
    low, high = min(heights) - 0.12 * spread, max(heights) + 0.12 * spread
    decimals = tick_decimals(nice_steps(high - low, 4))
    room = max(width(number(end, decimals), size) for end in (low, high)) + 0.6 * size
    right = body.right - NAMES_SHARE * (body.right - body.left) - (0.6 if style.narrow else 0) * size
    bottom = min(body.bottom, body.top + 1.3 * (body.right - body.left)) if style.narrow else body.bottom
    top = body.top + 1.6 * size
    box = Box(left=body.left + room, top=top, right=right, bottom=bottom - BELOW * size)
    return _Plot(box=box, first=min(places), last=max(places), low=low, high=high)


def _grid(plot: _Plot, found: Stairs, begun: Frame) -> Iterator[Drawn]:
    """Round heights at the left, each with a thin line across, and above them what they are."""
    style, box = begun.style, plot.box
    size, step = style.text[1], nice_steps(plot.high - plot.low, 4)
    decimals = tick_decimals(step)
    for n in range(-int(-plot.low // step), int(plot.high // step) + 1):
        y = plot.y(n * step)
        yield line((box.left, y), (box.right, y), Pen(ink="line", width=style.hair))
        said, x = number(n * step, decimals), box.left - 0.3 * size
        yield Words(x=x, y=centred(y, size), text=said, size=size, anchor="end", ink="ink2")
    yield line((box.left, box.bottom), (box.right, box.bottom), Pen(ink="post", width=style.hair))
    yield Words(x=begun.body.left, y=begun.body.top + 0.8 * size, text=found.upward, size=size, ink="ink2")


def _ticks(plot: _Plot, found: Stairs, style: Style) -> Iterator[Drawn]:
    """Words below the plot where there is room between them, the first and the last of them first.

    The last one ends with the plot: names stand beside it.
    """
    size, box, taken = style.text[1], plot.box, list[Box]()
    ticks = [found.ticks[0], found.ticks[-1], *found.ticks[1:-1]]
    for at, said in dict.fromkeys(ticks):
        x = plot.x(at)
        yield line((x, box.bottom), (x, box.bottom + 5 * style.unit), Pen(ink="post", width=style.hair))
        anchor = "end" if at == ticks[1][0] else "middle"
        words = Words(x=x, y=box.bottom + 1.25 * size, text=said, size=size, anchor=anchor, ink="ink2")
        gap = 0.5 * size
        if all(words.box.left > t.right + gap or words.box.right < t.left - gap for t in taken):
            yield words
            taken.append(words.box)


def _line(each: Stair, plot: _Plot, names: Names, style: Style) -> list[Drawn]:
    slot = names.slot(each.setup) if each.setup else None
    last_at, last_height = each.steps[-1]
    drawn: list[Drawn] = []
    if not each.is_mark:
        dash = "" if slot is None or slot.dash == "none" else " ".join(
            f"{float(n) * style.unit:g}" for n in slot.dash.split()
        )  # fmt: skip
        ink = "post" if slot is None else slot.ink
        drawn.append(path(_way(each, plot), Pen(ink=ink, width=3 * style.unit, dash=dash)))
        last_at = plot.last
    if slot is not None:
        at = (plot.x(last_at), plot.y(last_height))
        drawn.append(mark(slot.mark, at, scale=style.unit * 1.2, ink=slot.ink))
    return drawn


def _way(each: Stair, plot: _Plot) -> str:
    (at, height), *_ = each.steps
    d = f"M{plot.x(at):.1f} {plot.y(height):.1f}"
    for _, (then, next_height) in pairwise(each.steps):
        d += f"H{plot.x(then):.1f}V{plot.y(next_height):.1f}"
    return f"{d}H{plot.x(plot.last):.1f}"


def _labels(found: Stairs, plot: _Plot, begun: Frame, names: Names) -> Iterator[Drawn]:
    """Each line by its mark and name with its numbers, at the right, none over another."""
    style = begun.style
    size, left = style.text[1], plot.box.right + 0.9 * style.text[1]
    step, top, bottom = TWO_LINES * size, plot.box.top - 0.4 * size, begun.body.bottom
    ordered = sorted(found.lines, key=lambda each: -each.steps[-1][1])
    room = max(int((bottom - top) / step), 1)
    y = top + step / 2
    for at, each in enumerate(ordered[:room]):
        end = each.steps[-1][0] if each.is_mark else plot.last
        start = (plot.x(end) + 9 * style.unit, plot.y(each.steps[-1][1]))
        latest = bottom - step * (min(len(ordered), room) - at - 0.5)
        y = min(max(start[1], y), latest)
        yield line(start, (left - 0.25 * size, y), Pen(ink="post", width=style.hair * 0.8))
        yield from _label(each, begun, (left, y), names)
        y += step


def _label(each: Stair, begun: Frame, at: tuple[float, float], names: Names) -> Iterator[Drawn]:
    """The mark stands beside the name as well: where lines end together, one covers the other."""
    size, room = begun.style.text[1], begun.body.right - at[0]
    first, sizes = at[1] - 0.59 * size, (size, size)
    indent = 0.0
    if each.setup:
        slot, indent = names.slot(each.setup), 1.1 * size
        yield mark(slot.mark, (at[0] + 0.4 * size, first), scale=begun.style.unit, ink=slot.ink)
    name = fit(each.name, room - indent, sizes=sizes, face=Face.STRONG).lines[0]
    under = shortest(each.under, room, sizes=sizes).lines[0]
    yield Words(x=at[0] + indent, y=centred(first, size), text=name, size=size, face=Face.STRONG)
    yield Words(x=at[0], y=centred(first + 1.12 * size, size), text=under, size=size, ink="ink2")
