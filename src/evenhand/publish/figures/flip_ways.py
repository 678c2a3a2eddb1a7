"""The way of one flip on a card: where a price, a weight or the margin stands, and where it would turn."""

from __future__ import annotations

from dataclasses import dataclass, replace

from evenhand.publish.faces import Face, width
from evenhand.publish.figures.bands import band
from evenhand.publish.figures.card_lanes import Ground, reach_for
from evenhand.publish.figures.frame import centred
from evenhand.publish.figures.interval_forms import Scale
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.money_words import bare_amount
from evenhand.publish.numbers import number, with_unit
from evenhand.publish.palette import Slot
from evenhand.publish.spans import percent
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn, Pen, Point, Words, line, mark
from evenhand.records.prices import Currency
from evenhand.verdicts.moves import Flip, Lever, Move


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """From where to where on a scale of 0 to 1, both in words; `margin` where it is told against the band.

    `slot` marks where it stands now, `turned` (hollow) where it would stand, None for a post.
    """

    start: float
    end: float
    now: str
    then: str
    slot: Slot
    turned: Slot | None = None
    margin: float | None = None


def way_of(flip: Flip, about: Pair, *, ratio: float, currency: Currency | None) -> Way | None:
    """The way of a flip's first move; what does not move by steps is told by the index before and after."""
    move = next((m for m in flip.moves if m.after is not None and m.before is not None), None)
    if move is None:
        return _index_way(flip, about, ratio)
    return _price_way(move, about, currency) if move.lever is Lever.PRICE else _share_way(move, about, ratio)


def _price_way(move: Move, about: Pair, currency: Currency | None) -> Way:
    before, after = move.before or 0.0, move.after or 0.0
    rises = after > before
    told = [bare_amount(v, currency) if currency else number(v) for v in (before, after)]
    start, end = (0.25, 0.75) if rises else (0.75, 0.25)
    return Way(start=start, end=end, now=told[0], then=told[1], slot=about.names.slot(move.name))


def _share_way(move: Move, about: Pair, ratio: float) -> Way:
    before, after = move.before or 0.0, move.after or 0.0
    whole = 1.0 if move.lever is Lever.WEIGHT else max(2 * before, 1.25 * after)
    front = about.a if ratio >= 1 else about.b
    told = [number(100 * share, 1).removesuffix(".0") for share in (before, after)]
    return Way(
        start=before / whole, end=after / whole, now=told[0], then=told[1], slot=about.names.slot(front)
    )


def _index_way(flip: Flip, about: Pair, ratio: float) -> Way:
    now, then = percent(ratio), percent(flip.ratio)
    reach = reach_for([now, then], 100 * about.margin) * 1.3
    slots = [about.names.slot(about.a if value >= 0 else about.b) for value in (now, then)]
    return Way(
        start=0.5 + now / reach / 2, end=0.5 + then / reach / 2, slot=slots[0], turned=slots[1],
        now=_of_front(ratio), then=_of_front(flip.ratio), margin=100 * about.margin / reach,
    )  # fmt: skip


def _of_front(ratio: float) -> str:
    """The lead of the one whose mark stands there, so that no number is below 0."""
    return with_unit(number(percent(max(ratio, 1 / ratio)), 1), "%")


def drawn_way(way: Way, across: tuple[float, float], y: float, style: Style) -> list[Drawn]:
    """The way at this height: a line from the mark to a post or a hollow mark, both ends in words outside."""
    aside = _aside(way)
    low, high = _ends(way, across, style, aside)

    def x(share: float) -> float:
        return low + min(max(share, 0.0), 1.0) * (high - low)

    drawn: list[Drawn] = []
    if way.margin is not None:
        scale = Scale(left=low, right=high, reach=1.0)
        half = 0.95 * style.text[0]
        ground = Ground(scale=scale, margin=way.margin, style=style)
        drawn += band(ground.scale, ground.margin, (y - half, y + half), style)
    else:
        drawn.append(line((low, y), (high, y), Pen(ink="line", width=style.hair * 2)))
    start, end = x(way.start), x(way.end)
    drawn.append(line((start, y), (end, y), Pen(ink="ink", width=style.post)))
    drawn.append(mark(way.slot.mark, (start, y), scale=style.unit * 1.1, ink=way.slot.ink))
    drawn += _end(way, (end, y), style)
    rightwards = end >= start
    posts = (x(0.5 - (way.margin or 0) / 2), x(0.5 + (way.margin or 0) / 2)) if way.margin else ()
    outer = (min(start, end, *posts), max(start, end, *posts))
    if aside:
        return [*drawn, *_both(way, outer, y, style, side=aside)]
    return [*drawn, *_numbers(way, outer, y, style, rightwards=rightwards)]


def _aside(way: Way) -> int:
    """1 or −1 where both ends lie to the right, or to the left, of the band; else 0."""
    if way.margin is None:
        return 0
    least, most = sorted((way.start, way.end))
    return 1 if least > 0.5 + way.margin / 2 else -1 if most < 0.5 - way.margin / 2 else 0


def _ends(way: Way, across: tuple[float, float], style: Style, aside: int) -> tuple[float, float]:
    """From where to where the scale goes: room is left for the words outside of it.

    Where all is to one side of the band, the scale begins with its far post, and so goes beyond the card.
    """
    left, right = across
    size, gap = style.text[1], 11 * style.unit
    if not aside:
        return left + 2.6 * size, right - 2.6 * size
    words = width(f"{way.now}, then ", size) + _strong(way, size) + 2 * gap
    low, high = (left + gap, right - words) if aside > 0 else (left + words, right - gap)
    seen = sorted((0.5 - aside * way.margin / 2, way.start, way.end)) if way.margin else [0.0, 1.0]
    whole = (high - low) / (seen[-1] - seen[0])
    begin = low - seen[0] * whole
    return begin, begin + whole


def _both(way: Way, outer: tuple[float, float], y: float, style: Style, *, side: int) -> list[Drawn]:
    """Now and then in a row, on the side of the band where both marks stand."""
    size, gap = style.text[1], 11 * style.unit
    first = Words(x=0, y=centred(y, size), text=f"{way.now}, then ", size=size, ink="ink2", halo="paper")
    begin = outer[1] + gap if side > 0 else outer[0] - gap - width(first.text, size) - _strong(way, size)
    return [
        replace(first, x=begin, text=first.text.rstrip()),
        replace(first, x=begin + width(first.text, size), text=way.then, face=Face.STRONG, ink="ink"),
    ]


def _strong(way: Way, size: float) -> float:
    return width(way.then, size, Face.STRONG)


def _end(way: Way, at: Point, style: Style) -> list[Drawn]:
    if way.turned is not None:
        return [mark(way.turned.mark, at, scale=style.unit, ink=way.turned.ink, hollow=True)]
    reach = 9 * style.unit
    post = Pen(ink="ink", width=style.post * 1.3)
    return [line((at[0], at[1] - reach), (at[0], at[1] + reach), post)]


def _numbers(
    way: Way, outer: tuple[float, float], y: float, style: Style, *, rightwards: bool
) -> list[Drawn]:
    """Now and then on the outer sides of the way, and of the band where it is drawn."""
    size, gap = style.text[1], 11 * style.unit
    base = Words(x=0, y=centred(y, size), text="", size=size, halo="paper")
    drawn: list[Drawn] = []
    for text, outward, bold in ((way.now, -1, False), (way.then, 1, True)):
        side = outward if rightwards else -outward
        x = outer[0] if side < 0 else outer[1]
        drawn.append(
            Words(
                x=x + side * gap, y=base.y, text=text, size=size, halo="paper",
                anchor="start" if side > 0 else "end",
                face=Face.STRONG if bold else Face.TEXT, ink="ink" if bold else "ink2",
            )
        )  # fmt: skip
    return drawn
