"""The card of what flips it: the smallest changes that turn a verdict, each with its way drawn."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenhand.publish.card_titles import Sayings
from evenhand.publish.direction import isolated
from evenhand.publish.faces import Face, Fitted
from evenhand.publish.figures.card_frame import card_frame, high, set_lines, shortest, whole
from evenhand.publish.figures.flip_ways import Way, drawn_way, way_of
from evenhand.publish.figures.frame import Frame, finish
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.flip_words import effect_words, move_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, listed
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn, Pen, line
from evenhand.records.prices import Currency
from evenhand.verdicts.moves import Flip, Lever

TITLE = "What would flip it"
MOST, MOST_TALL = 4, 6
WAY = 2.0  # of the type size: what a way below its words takes
WORDS_SHARE = 0.62  # of a wide card's body


@dataclass(frozen=True, slots=True, kw_only=True)
class Flips:
    """What turns the verdict on a pair for an audience, smallest first, and what stands now.

    `runs` are labels by run id; `nothing` is said where nothing turns it; `untested` is what is said of a
    title that was not tested, "" for nothing.
    """

    about: Pair
    audience: str
    ratio: float
    flips: tuple[Flip, ...]
    currency: Currency | None
    runs: Mapping[str, str]
    now: Sayings
    nothing: str
    untested: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One change: its words, its effect, and its way."""

    change: Fitted
    effect: Fitted
    way: Way | None
    below: float = 0.0  # px that a way below the words takes

    @property
    def height(self) -> float:
        """How high it stands."""
        return high(self.change) + high(self.effect) + self.below


def flip_card(flips: Flips, foot: Sequence[str], *, style: Style) -> Picture:
    """As many of the changes as find room whole, the smallest first."""
    names = flips.about.names
    begun = _begun(flips, foot, style)
    under = _standing(flips, begun)
    top = begun.body.top + (high(under) + 0.3 * style.text[0] if under else 0.0)
    rows = _rows(flips, begun, begun.body.bottom - top)
    drawn: list[Drawn] = [*set_lines(under, (begun.body.left, begun.body.top), ink="ink2")] if under else []
    if not rows:
        drawn += _nothing(flips, begun, top)
    room = begun.body.bottom - top
    gap = min((room - sum(row.height for row in rows)) / max(len(rows), 1), 1.6 * style.text[0])
    for row in rows:
        drawn += _drawn(row, begun, (top, top + row.height + gap))
        top += row.height + gap
    said = flips.now.told(names)[:1] or (f"{names.setup(flips.about.a)} and {names.setup(flips.about.b)}",)
    told = (
        "; ".join(_told(flip, flips, names) for flip in one_of_each(flips.flips)[: max(len(rows), 1)])
        or flips.nothing
    )
    title = (
        f"{TITLE}: {isolated(flips.audience)}, {names.setup(flips.about.a)} and {names.setup(flips.about.b)}"
    )
    description = f"{said[0].rstrip('.')}. {told}. {flips.untested}".strip()
    return finish(begun, drawn, title=title, description=description, names=names)


def _begun(flips: Flips, foot: Sequence[str], style: Style) -> Frame:
    return card_frame(TITLE, foot, flips.about.names, style)


def _standing(flips: Flips, begun: Frame) -> Fitted | None:
    """What would be flipped, in one or two lines; None where it finds no room."""
    room, size = begun.body.right - begun.body.left, begun.style.text[1]
    names = flips.about.names
    wordings = [said for n in (names, names.shortened(20)) for said in flips.now.told(n)[:1]]
    fits = (
        whole(said, room, sizes=(size, size), face=Face.TEXT, lines=2 if begun.style.narrow else 1)
        for said in wordings
    )
    return next((each for each in fits if each), None)


def _rows(flips: Flips, begun: Frame, room: float) -> list[_Row]:
    style = begun.style
    most = MOST_TALL if (style.height or 0) > style.width else MOST
    rows: list[_Row] = []
    for flip in one_of_each(flips.flips):
        row = _row(flip, flips, begun)
        if row is not None and sum(r.height + 0.35 * style.text[0] for r in (*rows, row)) <= room:
            rows.append(row)
        if len(rows) == most:
            break
    return rows


def one_of_each(flips: Sequence[Flip]) -> tuple[Flip, ...]:
    """The smallest of each lever first, then the rest: sizes of different levers compare only roughly."""
    first: dict[Lever, Flip] = {}
    for flip in flips:
        first.setdefault(flip.moves[0].lever, flip)
    return (*first.values(), *(flip for flip in flips if flip not in first.values()))


def _row(flip: Flip, flips: Flips, begun: Frame) -> _Row | None:
    """A change in words that stand whole, with shorter names where the full ones do not."""
    style, wide = begun.style, begun.body.right - begun.body.left
    room, lines = (wide, 3) if style.narrow else (WORDS_SHARE * wide, 2)
    names = flips.about.names
    for called in (names, names.shortened(20, tests=True), names.shortened(tests=True)):
        change, effect = _words(flip, flips, called)
        first = whole(change, room, sizes=style.text, face=Face.STRONG, lines=lines)
        after = whole(effect, room, sizes=(style.text[1],) * 2, face=Face.TEXT, lines=lines)
        if first and after:
            way = way_of(flip, flips.about, ratio=flips.ratio, currency=flips.currency)
            return _Row(change=first, effect=after, way=way, below=_below(style) if way else 0.0)
    return None


def _below(style: Style) -> float:
    """What a way takes below the words: a wide card has it beside them, a square one not at all."""
    return WAY * style.text[0] if style.narrow and (style.height or 0) > style.width else 0.0


def _words(flip: Flip, flips: Flips, names: Names) -> tuple[str, str]:
    moves = (move_words(m, names, currency=flips.currency, runs=flips.runs) for m in flip.moves)
    return capital(listed(tuple(moves))), effect_words(flip, names)


def _told(flip: Flip, flips: Flips, names: Names) -> str:
    return ": ".join(_words(flip, flips, names))


def _drawn(row: _Row, begun: Frame, edges: tuple[float, float]) -> list[Drawn]:
    """Rule, change, effect, and the way beside them; a narrow card has room for words alone."""
    style, body, (top, bottom) = begun.style, begun.body, edges
    drawn: list[Drawn] = [line((body.left, top), (body.right, top), Pen(ink="line", width=style.hair))]
    start = (top + bottom - row.height) / 2
    drawn += set_lines(row.change, (body.left, start), face=Face.STRONG)
    drawn += set_lines(row.effect, (body.left, start + high(row.change)), ink="ink2")
    if row.way is not None and row.below:
        at = start + high(row.change) + high(row.effect) + 0.55 * row.below
        drawn += drawn_way(row.way, (body.left, body.right), at, style)
    if row.way is not None and not style.narrow:
        left = body.left + (WORDS_SHARE + 0.03) * (body.right - body.left)
        drawn += drawn_way(row.way, (left, body.right), (top + bottom) / 2, style)
    return drawn


def _nothing(flips: Flips, begun: Frame, top: float) -> list[Drawn]:
    room = begun.body.right - begun.body.left
    said = shortest([flips.nothing], room, sizes=begun.style.text, lines=4)
    return [*set_lines(said, (begun.body.left, top + begun.style.text[0]))]
