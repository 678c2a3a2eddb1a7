"""The method card: how it was measured, in a few lines that fit a card, on several where they need them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.publish.faces import Face, Fitted, wrap
from evenhand.publish.figures.card_frame import card_frame, high, set_lines
from evenhand.publish.figures.frame import LEADING, Frame, finish
from evenhand.publish.names import Names
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn, Pen, line

TITLE = "How it was measured"
TERM = 0.2  # of a wide card's body: the column of terms
GAP = 0.5  # of the type size: between two rows


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing about the method: its term, and what holds."""

    term: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Set:
    """A line broken for the card; what is too long for one card goes on with the next."""

    term: str
    text: Fitted


def method_cards(lines: Sequence[Line], foot: str, names: Names, *, style: Style) -> tuple[Picture, ...]:
    """Every line whole, at the least size, on as few cards as hold them."""
    names = names.drawn()
    begun = card_frame(TITLE, [foot], names, style)
    pages = _pages([one for each in lines for one in _broken(each, begun)], begun)
    return tuple(_picture(page, (i, len(pages)), foot, names, style) for i, page in enumerate(pages))


def _text_room(begun: Frame) -> float:
    wide = begun.body.right - begun.body.left
    return wide if begun.style.narrow else (1 - TERM) * wide


def _height(one: _Set, style: Style) -> float:
    over = style.text[1] * LEADING if style.narrow and one.term else 0.0
    return high(one.text) + over + GAP * style.text[1]


def _broken(each: Line, begun: Frame) -> list[_Set]:
    """The line in pieces that a card holds."""
    size = begun.style.text[1]
    lines = wrap(each.text, _text_room(begun), size)
    most = max(1, int((begun.body.bottom - begun.body.top) / (size * LEADING)) - 2)
    pieces = [lines[i : i + most] for i in range(0, len(lines), most)]
    return [
        _Set(term=each.term if not i else f"{each.term}, on", text=Fitted(lines=piece, size=size))
        for i, piece in enumerate(pieces)
    ]


def _pages(sets: Sequence[_Set], begun: Frame) -> list[list[_Set]]:
    room, pages, used = begun.body.bottom - begun.body.top, [], 0.0
    page: list[_Set] = []
    for one in sets:
        needed = _height(one, begun.style)
        if page and used + needed > room:
            pages.append(page)
            page, used = [], 0.0
        page.append(one)
        used += needed
    return [*pages, page] if page else pages


def _picture(page: Sequence[_Set], place: tuple[int, int], foot: str, names: Names, style: Style) -> Picture:
    said = TITLE if place[1] == 1 else f"{TITLE}, {place[0] + 1} of {place[1]}"
    begun = card_frame(said, [foot], names, style)
    drawn: list[Drawn] = []
    top = begun.body.top
    for one in page:
        drawn += _drawn(one, begun, top)
        top += _height(one, style)
    told = " ".join(f"{one.term}: {' '.join(one.text.lines)}" for one in page)
    return finish(begun, drawn, title=said, description=f"{told} {foot}", names=names)


def _drawn(one: _Set, begun: Frame, top: float) -> list[Drawn]:
    style, body, size = begun.style, begun.body, begun.style.text[1]
    drawn: list[Drawn] = [line((body.left, top), (body.right, top), Pen(ink="line", width=style.hair))]
    term = Fitted(lines=(one.term,), size=size)
    start = top + GAP * size / 2
    drawn += set_lines(term, (body.left, start), face=Face.STRONG)
    if style.narrow:
        return [*drawn, *set_lines(one.text, (body.left, start + size * LEADING), ink="ink2")]
    left = body.left + TERM * (body.right - body.left)
    return [*drawn, *set_lines(one.text, (left, start), ink="ink2")]
