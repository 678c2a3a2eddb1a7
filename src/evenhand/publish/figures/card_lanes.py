"""A row on a card that is not an interval plot: the band, the form of one difference, and its word."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.findings.finding import Outcome
from evenhand.publish.faces import ELLIPSIS, Face, elide, elide_name, width
from evenhand.publish.figures.bands import band
from evenhand.publish.figures.frame import centred, named, named_width, nice_steps
from evenhand.publish.figures.interval_forms import Lane, Scale, forms
from evenhand.publish.figures.interval_rows import Row
from evenhand.publish.names import Names
from evenhand.publish.numbers import level_words
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn, Words

HALF = 0.75  # of the type size: how far the band reaches above and below a lone lane


@dataclass(frozen=True, slots=True, kw_only=True)
class Ground:
    """What differences are drawn on: the scale, the margin in its unit, and the card's measures."""

    scale: Scale
    margin: float
    style: Style

    def beside(self) -> float:
        """The room for words to each side of the band."""
        return self.scale.x(-self.margin) - self.scale.left - 0.4 * self.style.text[1]


def lane(row: Row, ground: Ground, y: float, pitch: float) -> list[Drawn]:
    """The form of a row, around this height."""
    return forms(row, Lane(scale=ground.scale, style=ground.style, y=y, pitch=pitch))


def lone_lane(row: Row, ground: Ground, y: float, reach: float = HALF) -> list[Drawn]:
    """A row with a piece of band of its own, that reaches so far up and down in the type size."""
    half = reach * ground.style.text[0]
    ends = (y - half, y + half)
    return [*band(ground.scale, ground.margin, ends, ground.style), *lane(row, ground, y, 2.2 * half)]


def sides(a: str, b: str, y: float, ground: Ground, names: Names) -> list[Drawn]:
    """Both setups by name over their halves: who is further right is better.

    Of two states of one machine both go by the state alone where a whole name would be cut.
    """
    style, scale = ground.style, ground.scale
    drawn: list[Drawn] = []
    room = (scale.right - scale.left) / 2 - named_width(Words(x=0, y=0, text="", size=1), style) - 20
    whole = all(width(names.setup(each), style.text[1], Face.STRONG) <= room for each in (a, b))
    for setup, other, right in ((b, a, False), (a, b, True)):
        said = side_name(names.setup(setup) if whole else names.apart(setup, other), room, style)
        words = Words(x=0, y=y, text=said, size=style.text[1], face=Face.STRONG)
        x = scale.right - named_width(words, style) if right else scale.left
        drawn += named(
            names.slot(setup), Words(x=x, y=y, text=said, size=style.text[1], face=Face.STRONG), style
        )
    return drawn


def side_name(name: str, room: float, style: Style) -> str:
    """The name with "ahead" where both fit, else the name, else as much of it as fits."""
    size = style.text[1]
    said = f"{name} ahead"
    return said if width(said, size, Face.STRONG) <= room else elide(name, room, size, Face.STRONG)


def reach_for(values: list[float], margin: float) -> float:
    """A round reach past all these values, and past twice the margin."""
    needed = 1.04 * max([*(abs(v) for v in values), 2 * margin])
    step = nice_steps(needed, 4)
    return step * -(-needed // step)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """What a row says: whose it is ("" where nobody's), and how much or which state."""

    name: str
    rest: str

    @property
    def text(self) -> str:
        """Both."""
        return f"{self.name} {self.rest}".strip()

    def within(self, room: float, size: float, face: Face) -> str:
        """Both, the name cut short where they do not fit, and left out where nothing of it would be left."""
        if not self.name:
            return self.rest
        cut = elide_name(self.name, f" {self.rest}", room, size=size, face=face)
        return self.rest if cut.startswith(ELLIPSIS) else cut


def lead_of(row: Row, a: str, b: str) -> Lead:
    """Who is ahead, and the row's word; a and b are the names of both."""
    who = {Outcome.AHEAD: a, Outcome.BEHIND: b}.get(row.outcome) if row.outcome else None
    return Lead(name=who or "", rest=row.word)


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where words of a row stand: their anchor, the middle of their height, and how wide they may be."""

    x: float
    y: float
    room: float
    anchor: str = "end"


def row_words(row: Row, lead: Lead, spot: Spot, style: Style) -> Words:
    """What a row says, in bold where something is called."""
    called = row.outcome is not None and row.outcome is not Outcome.UNSETTLED
    face = Face.STRONG if called else Face.TEXT
    return Words(
        x=spot.x, y=centred(spot.y, style.text[1]), text=lead.within(spot.room, style.text[1], face),
        size=style.text[1], anchor=spot.anchor, face=face, ink="ink" if called else "ink2",
    )  # fmt: skip


def bars_told(rows: Sequence[Row], level: float) -> str:
    """Of what level the bars are: a level row shows the interval that was held against the margin."""
    notes = dict.fromkeys(row.span.note for row in rows if row.span is not None and row.span.note)
    usual = any(row.span is not None and not row.span.note for row in rows)
    said = [level_words(level)] if usual or not notes else []
    return f"Bars: {', '.join([*said, *(f'level ones {note}' if said else note for note in notes)])}."
