"""The card of what each build costs to own over the years: its parts as a bar, the whole as a range."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from evenhand.publish.dates import days_words
from evenhand.publish.direction import isolated
from evenhand.publish.faces import Face, fit
from evenhand.publish.figures.card_frame import card_frame
from evenhand.publish.figures.frame import Frame, balanced, finish, named
from evenhand.publish.figures.owning import Bar, full_scale, places
from evenhand.publish.names import Names
from evenhand.publish.numbers import count_word
from evenhand.publish.owning_words import range_words, years_words
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, rect
from evenhand.records.prices import Currency

AROUND, ROW, MOST_ROW = 430, 2.5, 3.6  # px head and foot take; of the type size, the least and most of a row
BAR = 0.62  # of the type size: how high a bar is


@dataclass(frozen=True, slots=True, kw_only=True)
class OwningScene:
    """Every priced build for one audience, at prices of `days`; `told` says on what the line rests."""

    audience: str
    bars: tuple[Bar, ...]
    years: float
    currency: Currency
    counted: bool
    told: str
    days: tuple[date, ...]


def owning_cards(scene: OwningScene, names: Names, *, style: Style) -> tuple[Picture, ...]:
    """The builds on as many cards as their rows need, all on one scale."""
    names = names.drawn()
    room = int(((style.height or 1080) - AROUND) / (ROW * style.text[0]))
    shares = balanced(len(scene.bars), max(room, 1))
    starts = [sum(shares[:i]) for i in range(len(shares))]
    pages = [scene.bars[at : at + n] for at, n in zip(starts, shares, strict=True)]
    return tuple(_picture(scene, page, (i, len(pages)), names, style) for i, page in enumerate(pages))


def _picture(
    scene: OwningScene, bars: Sequence[Bar], place: tuple[int, int], names: Names, style: Style
) -> Picture:
    said = f"What each costs to own over {years_words(scene.years)}, prices of {days_words(scene.days)}"
    at, of = place
    kinds = "Filled: lost on its price; shaded: electricity; outlined: repairs."
    if not scene.counted:
        kinds = "Without electricity. Filled: lost on its price; outlined: repairs."
    part = [f"Part {count_word(at + 1)} of {count_word(of)}."] if of > 1 else []
    foot = [f"For {isolated(scene.audience)}. {kinds}", *part, scene.told]
    # On what it rests, and for whom it is, is worth its room more than conditions.
    begun = card_frame(said, foot, replace(names, terms=""), style, more_foot=1)
    most = full_scale(scene.bars)
    top = begun.body.top + 0.3 * style.text[0]
    pitch = min((begun.body.bottom - top) / len(bars), MOST_ROW * style.text[0])
    drawn: list[Drawn] = []
    for i, bar in enumerate(bars):
        drawn += _row(bar, scene, most, (top + i * pitch, top + (i + 1) * pitch), names, begun)
    seen = "; ".join(f"{names.setup(bar.setup)} {range_words(bar.own.whole, scene.currency)}" for bar in bars)
    return finish(
        begun, drawn, title=said, description=f"From the cheap end to the dear one: {seen}.", names=names
    )


def _row(
    bar: Bar, scene: OwningScene, most: float, edges: tuple[float, float], names: Names, begun: Frame
) -> list[Drawn]:
    """A build by name with its whole in words, and its bar below."""
    style, body, slot = begun.style, begun.body, names.slot(bar.setup)
    size, top = style.text[1], edges[0]
    told = Words(
        x=body.right, y=top + size, text=range_words(bar.own.whole, scene.currency), size=size, anchor="end"
    )
    room = told.box.left - body.left - 2.2 * size
    name = fit(names.setup(bar.setup), room, sizes=(size, size), face=Face.STRONG).lines[0]
    own = Words(x=body.left, y=top + size, text=name, size=size, face=Face.STRONG)
    return [*named(slot, own, style), told, *_bar(bar, most, top + 1.45 * size, names, begun)]


def _bar(bar: Bar, most: float, top: float, names: Names, begun: Frame) -> list[Drawn]:
    style, body, ink = begun.style, begun.body, names.slot(bar.setup).ink
    wide, bottom = (body.right - body.left) / 100, top + BAR * style.text[0]
    fills = {"lost": ink, "energy": "band", "repairs": "none"}
    drawn: list[Drawn] = []
    for part, (start, share) in places(bar.own, most).items():
        if share > 0:
            box = Box(
                left=body.left + start * wide,
                top=top,
                right=body.left + (start + share) * wide,
                bottom=bottom,
            )
            drawn.append(rect(box, fill=fills[part], pen=Pen(ink=ink, width=style.hair)))
    low, high = (
        body.left + 100 * max(end, 0) / most * wide for end in (bar.own.whole.low, bar.own.whole.high)
    )
    middle, pen = (top + bottom) / 2, Pen(ink="ink", width=style.post)
    tick = 0.18 * style.text[0]
    return [
        *drawn,
        line((low, middle), (high, middle), pen),
        *(line((x, top - tick), (x, bottom + tick), pen) for x in (low, high)),
    ]
