"""The headline card: for each audience the sentences that the record bears, and where the two stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.publish.card_titles import Sayings
from evenhand.publish.direction import isolated
from evenhand.publish.faces import Face, Fitted, fit, width
from evenhand.publish.figures.bands import band
from evenhand.publish.figures.card_frame import card_frame, high, set_lines, whole
from evenhand.publish.figures.card_lanes import (
    HALF,
    Ground,
    Lead,
    Spot,
    bars_told,
    lane,
    lead_of,
    lone_lane,
    reach_for,
    row_words,
    sides,
)
from evenhand.publish.figures.frame import Frame, balanced, finish
from evenhand.publish.figures.interval_forms import Scale
from evenhand.publish.figures.interval_rows import Pair, Row
from evenhand.publish.names import Names
from evenhand.publish.numbers import margin_words
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, line

MOST_WIDE, MOST_NARROW = 2, 3  # audiences on one card
WORDS_SHARE = 0.6  # of a wide card's body: what sentences take
APART, BETWEEN = 0.2, 0.35  # of the type size: from a verdict to the money, from audience to audience
HEAD, LABEL = 1.5, 1.3  # of the type size: what names the sides of a narrow card's plot, and each row
LOW, BELOW = 0.45, 0.2  # of the type size: half a band on a square card, and what is left free below it


@dataclass(frozen=True, slots=True, kw_only=True)
class ForWhom:
    """One audience: its name, the sentences on the pair (the verdict first, value after), and the row.

    `besides` follows the verdict at once where no value is told.
    """

    name: str
    sayings: Sayings
    row: Row
    besides: str = ""

    def told(self, names: Names) -> tuple[str, ...]:
        """All that is said, the verdict first."""
        own = self.sayings.told(names) or (self.name,)
        return (own[0], self.besides, *own[1:]) if self.besides else own


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """An audience's sentences fitted into their room."""

    verdict: Fitted
    value: Fitted | None

    @property
    def height(self) -> float:
        """How high they stand together."""
        return high(self.verdict) + (high(self.value) + APART * self.value.size if self.value else 0.0)


def headline_cards(
    audiences: Sequence[ForWhom], about: Pair, foot: Sequence[str], *, style: Style
) -> tuple[Picture, ...]:
    """Audiences in their order, as many on a card as leave their sentences whole."""
    return tuple(_picture(each, about, foot, style) for each in _shared_out(audiences, about, foot, style))


def _shared_out(
    audiences: Sequence[ForWhom], about: Pair, foot: Sequence[str], style: Style
) -> list[Sequence[ForWhom]]:
    """Who stands on which card: as few cards as can be, and as even as leaves every sentence whole."""
    cards: list[Sequence[ForWhom]] = []
    most = MOST_NARROW if style.narrow else MOST_WIDE
    rest = list(audiences)
    while rest:
        counts = range(min(most, len(rest)), 0, -1)
        found = next((n for n in counts if _told(rest[:n], about, foot, style) is not None), 1)
        cards.append(rest[:found])
        rest = rest[found:]
    shares = balanced(len(audiences), max(map(len, cards), default=1))
    starts = [sum(shares[:i]) for i in range(len(shares))]
    even = [audiences[at : at + n] for at, n in zip(starts, shares, strict=True)]
    fit_all = len(even) == len(cards) and all(_told(each, about, foot, style) for each in even)
    return even if fit_all else cards


def _begun(rows: Sequence[Row], about: Pair, foot: Sequence[str], style: Style) -> Frame:
    first = f"Band: {margin_words(about.margin)}, too small to matter."
    return card_frame("", [f"{first} {bars_told(rows, about.level)}", *foot], about.names, style)


def high_enough(style: Style) -> bool:
    """Whether a narrow card has room for bands of their usual height."""
    return (style.height or 0) > style.width


def row_high(style: Style) -> float:
    """What a row of a narrow card's plot takes, in its type size: a name, and below it the band."""
    return LABEL + 2 * (HALF if high_enough(style) else LOW) + BELOW


def _words_box(begun: Frame, n: int) -> Box:
    """The room for the sentences of `n` audiences."""
    style, body = begun.style, begun.body
    if not style.narrow:
        right = body.left + WORDS_SHARE * (body.right - body.left)
        return Box(left=body.left, top=body.top, right=right, bottom=body.bottom)
    plot = (HEAD + row_high(style) * n) * style.text[0] + 0.3 * style.text[0]
    return Box(left=body.left, top=body.top, right=body.right, bottom=body.bottom - plot)


def _told(audiences: Sequence[ForWhom], about: Pair, foot: Sequence[str], style: Style) -> list[Told] | None:
    """Everybody's sentences at one size, as large as their room allows; None where one would be cut."""
    box = _words_box(_begun([one.row for one in audiences], about, foot, style), len(audiences))
    room, each = box.right - box.left, (box.bottom - box.top) / len(audiences) - BETWEEN * style.text[0]
    largest, _, least = style.say
    size = largest
    while size >= least:
        told = [_fitted(one, about.names, room, (size, each), style) for one in audiences]
        if all(told):
            return [one for one in told if one]
        size -= 2
    return None


def _fitted(
    one: ForWhom, names: Names, room: float, within: tuple[float, float], style: Style
) -> Told | None:
    """The verdict's sentence, and the money's where one stands, in this size and height."""
    size, height = within
    for called in (names, names.shortened(20), names.shortened()):
        verdict, *value = one.told(called)
        first = whole(verdict, room, sizes=(size, size), face=Face.SAY, lines=6)
        small = style.text[1]
        after = whole(value[0], room, sizes=(small, small), face=Face.TEXT, lines=5) if value else None
        if first and (after or not value):
            told = Told(verdict=first, value=after)
            return told if told.height <= height else None
    return None


def _picture(audiences: Sequence[ForWhom], about: Pair, foot: Sequence[str], style: Style) -> Picture:
    rows = [one.row for one in audiences]
    begun = _begun(rows, about, foot, style)
    box = _words_box(begun, len(audiences))
    told = _told(audiences, about, foot, style) or _cut(audiences, box, style)
    drawn: list[Drawn] = []
    pitch = (box.bottom - box.top) / len(told)
    apart, spare = APART * style.text[1], pitch - max(one.height for one in told)
    tops = [
        box.top + i * pitch + (0.35 if style.narrow else 0.25) * max(spare, 0.0) for i in range(len(told))
    ]
    for one, top in zip(told, tops, strict=True):
        drawn += set_lines(one.verdict, (box.left, top), face=Face.SAY)
        if one.value:
            drawn += set_lines(one.value, (box.left, top + high(one.verdict) + apart), ink="ink2")
    drawn += _below(audiences, about, begun, box) if style.narrow else _beside(rows, about, begun, tops)
    said = [" ".join(one.told(about.names)) for one in audiences]
    names = about.names
    title = f"{names.setup(about.a)} and {names.setup(about.b)}: {said[0]}"
    seen = "; ".join(f"{isolated(one.name)}: {_seen(one.row)}" for one in audiences)
    description = f"{' '.join(said)} Drawn for each audience: {seen}."
    return finish(begun, drawn, title=title, description=description, names=names)


def _seen(row: Row) -> str:
    span = row.span.words("%", signed=True) if row.span else "no number"
    return f"{span}, {row.outcome.value}" if row.outcome else span


def _cut(audiences: Sequence[ForWhom], box: Box, style: Style) -> list[Told]:
    """One audience whose sentences find no room: who it is alone, and the plot says the rest."""
    room = box.right - box.left
    return [
        Told(verdict=fit(one.name, room, sizes=(style.say[2],) * 2, face=Face.SAY, lines=4), value=None)
        for one in audiences
    ]


def _ground(scale_from: tuple[float, float], rows: Sequence[Row], about: Pair, style: Style) -> Ground:
    spans = [row.span for row in rows if row.span is not None]
    ends = [e for s in spans for e in (s.value, s.low, s.high) if e is not None]
    margin = 100 * about.margin
    scale = Scale(left=scale_from[0], right=scale_from[1], reach=reach_for(ends, margin))
    return Ground(scale=scale, margin=margin, style=style)


def _beside(rows: Sequence[Row], about: Pair, begun: Frame, tops: Sequence[float]) -> list[Drawn]:
    """The plot at the right: one band through all, each row beside its sentences."""
    style, body, size = begun.style, begun.body, begun.style.text[0]
    left = body.left + (WORDS_SHARE + 0.04) * (body.right - body.left)
    ground = _ground((left, body.right), rows, about, style)
    head = body.top + 0.75 * size
    drawn: list[Drawn] = sides(about.a, about.b, head, ground, about.names)
    leads = [_lead(row, about) for row in rows]
    room, least = ground.beside(), style.text[1]
    through = max(width(lead.rest, least, Face.STRONG) for lead in leads) <= room
    top = head + 0.4 * size
    if through:
        drawn += band(ground.scale, ground.margin, (top, body.bottom), style)
    for i, (row, lead) in enumerate(zip(rows, leads, strict=True)):
        y = max(tops[i], top) + 0.8 * size if len(rows) > 1 else (top + body.bottom) / 2 - size
        drawn += lane(row, ground, y, 2 * size) if through else lone_lane(row, ground, y)
        leftwards = row.span is not None and row.span.value < 0
        x, anchor = (ground.scale.left, "start") if leftwards else (ground.scale.right, "end")
        whole_room = ground.scale.right - ground.scale.left
        spot = Spot(x=x, y=y + 1.45 * size, room=room if through else whole_room, anchor=anchor)
        drawn.append(row_words(row, _outside(lead, room, least) if through else lead, spot, style))
    return drawn


def _outside(lead: Lead, room: float, size: float) -> Lead:
    """The words beside the band: without the name where it finds no room, as the side's head tells it."""
    return lead if width(lead.text, size, Face.STRONG) <= room else Lead(name="", rest=lead.rest)


def _lead(row: Row, about: Pair) -> Lead:
    return lead_of(row, about.names.setup(about.a), about.names.setup(about.b))


def _below(audiences: Sequence[ForWhom], about: Pair, begun: Frame, box: Box) -> list[Drawn]:
    """The plot below the sentences: each audience by name, its word at the right, its form below both."""
    style, body, size = begun.style, begun.body, begun.style.text[0]
    inset, half = 0.6 * size, HALF if high_enough(style) else LOW
    ground = _ground((body.left + inset, body.right - inset), [a.row for a in audiences], about, style)
    top = box.bottom + 0.5 * size
    drawn: list[Drawn] = sides(about.a, about.b, top + 0.7 * size, ground, about.names)
    top += HEAD * size
    for i, one in enumerate(audiences):
        here = top + i * row_high(style) * size
        spot = Spot(x=body.right, y=here + 0.5 * size, room=0.5 * (body.right - body.left))
        word = row_words(one.row, _lead(one.row, about), spot, style)
        room = body.right - body.left - word.width - size
        name = fit(one.name, room, sizes=style.text)
        drawn += [
            *set_lines(name, (body.left, here)),
            word,
            *lone_lane(one.row, ground, here + (LABEL + half) * size, half),
        ]
        if i:
            drawn.append(line((body.left, here), (body.right, here), Pen(ink="line", width=style.hair)))
    return drawn
