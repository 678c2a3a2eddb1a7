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
from evenhand.verdicts.moves import Aspect, Flip, Lever

TITLE = "What would flip it"
LEAST, MOST, MOST_TALL = 3, 4, 6  # changes: of fewer the second sentence over them goes
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
    top = _set_below(begun, under)
    rows = _rows(flips, begun, begun.body.bottom - top)
    while len(under) > 1 and len(rows) < min(len(flips.flips), LEAST):
        under = under[:-1]
        top = _set_below(begun, under)
        rows = _rows(flips, begun, begun.body.bottom - top)
    drawn: list[Drawn] = []
    for i, each in enumerate(under):
        at = (begun.body.left, begun.body.top + sum(map(high, under[:i])))
        drawn += set_lines(each, at, ink="ink2")
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
    ).rstrip(".")
    title = (
        f"{TITLE}: {isolated(flips.audience)}, {names.setup(flips.about.a)} and {names.setup(flips.about.b)}"
    )
    description = f"{said[0].rstrip('.')}. {told}. {flips.untested}".strip()
    return finish(begun, drawn, title=title, description=description, names=names)


def _begun(flips: Flips, foot: Sequence[str], style: Style) -> Frame:
    return card_frame(TITLE, foot, flips.about.names, style)


def _set_below(begun: Frame, under: Sequence[Fitted]) -> float:
    """Where the changes begin, below what would be flipped."""
    return begun.body.top + (sum(map(high, under)) + 0.3 * begun.style.text[0] if under else 0.0)


def _standing(flips: Flips, begun: Frame) -> list[Fitted]:
    """What would be flipped: the sentences on what the changes turn, that of the smallest change first.

    It never yields to room: names are cut short before any of it is, and the first sentence stays.
    """
    names = flips.about.names
    told = zip(
        *(_now(flips, called) for called in (names, names.shortened(20), names.shortened())), strict=True
    )
    return [_in_lines(wordings, begun) for wordings in told]


def _now(flips: Flips, names: Names) -> list[str]:
    """What stands now of speed and of value, as far as a change turns it; else the first."""
    said = dict(
        zip((one.key.startswith("value") for one in flips.now.said), flips.now.told(names), strict=True)
    )
    turned = dict.fromkeys(flip.aspect is Aspect.VALUE for flip in one_of_each(flips.flips)) or {False: None}
    own = [said[value] for value in turned if value in said] or list(said.values())[:1]
    both = (names.setup(flips.about.a), names.setup(flips.about.b))
    return own or [f"{isolated(flips.audience)}: {' and '.join(both)}"]


def _in_lines(wordings: Sequence[str], begun: Frame) -> Fitted:
    room, size = begun.body.right - begun.body.left, begun.style.text[1]
    lines = 3 if begun.style.narrow else 2
    return shortest(wordings, room, sizes=(size, size), lines=lines)


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
