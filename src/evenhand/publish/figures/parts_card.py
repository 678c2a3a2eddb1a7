"""The card of a build's parts: what it is made of, how each was come by, what it costs and since when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.card_frame import card_frame, shortest
from evenhand.publish.figures.frame import Frame, balanced, centred, finish, headline_fits
from evenhand.publish.money_words import amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import count_word
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn, Pen, Words, line, mark
from evenhand.records.prices import Price

NOTHING = "no parts on record"
UNSAID, UNPRICED = "not disclosed", "no price on record"
AROUND, ROW = 430, 1.45  # px head and foot take; of the type size, the least height of a row
MOST_ROW = 2.2  # of the type size
KIND = 0.19  # of the body's width: the column of kinds at the left


@dataclass(frozen=True, slots=True, kw_only=True)
class PartLine:
    """One part: its kind, its name, how the reviewer came by it ("" where nothing is on record), its price.

    `cost` is what it cost and by which class of seller, "" where no price of it is on record; `on` the day.
    """

    kind: str
    name: str
    disclosed: str = ""
    cost: str = ""
    on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildParts:
    """A build's parts in order, with its latest price."""

    setup: str
    parts: tuple[PartLine, ...]
    price: Price | None


def parts_cards(build: BuildParts, names: Names, *, style: Style) -> tuple[Picture, ...]:
    """The parts of one build, on as many cards as their rows need."""
    names = names.drawn()
    each = 2 * ROW if _stacks(build.parts, style) else ROW
    room = int(((style.height or 1080) - AROUND) / (each * style.text[0]))
    shares = balanced(max(len(build.parts), 1), max(room, 1))
    starts = [sum(shares[:i]) for i in range(len(shares))]
    pages = [build.parts[at : at + n] for at, n in zip(starts, shares, strict=True)]
    return tuple(_picture(build, page, (i, len(pages)), names, style) for i, page in enumerate(pages))


def _picture(
    build: BuildParts, parts: Sequence[PartLine], place: tuple[int, int], names: Names, style: Style
) -> Picture:
    said = _headline(build, names, style)
    at, of = place
    part = [f"Part {count_word(at + 1)} of {count_word(of)}."] if of > 1 else []
    foot = [*part, *_how_told(build)] or ["Parts as built."]
    begun = card_frame(said, foot, names, style)
    drawn = _rows(parts, build.parts, begun) if parts else _none(begun)
    drawn += _slot(build, names, begun)
    seen = [", ".join(filter(None, [p.disclosed or UNSAID, p.cost])) for p in parts]
    told = "; ".join(f"{p.kind}: {isolated(p.name)}, {how}" for p, how in zip(parts, seen, strict=True))
    return finish(
        begun, drawn, title=said, description=f"{_price_told(build, names)} {told or NOTHING}.", names=names
    )


def _headline(build: BuildParts, names: Names, style: Style) -> str:
    """Name, price and day; with a shorter name, then without the day, which the foot repeats."""
    called = (names, names.shortened(20), names.shortened())
    said = [_price_told(build, n).rstrip(".") for n in called]
    return next((each for each in said if headline_fits(each, style)), "What it is made of")


def _price_told(build: BuildParts, names: Names) -> str:
    name, price = names.setup(build.setup), build.price
    if price is None:
        return f"{name}: no price on record."
    return f"{name}: {amount(price.minor, price.currency)} on {day_words(price.on)}."


def _how_told(build: BuildParts) -> list[str]:
    """What all parts share of how they were come by, of when they cost that, and where the price is from."""
    ways, days = {part.disclosed for part in build.parts}, _days(build.parts)
    note = [f"Parts’ prices of {day_words(days[0])}."] if len(days) == 1 else []
    note += [f"Price: {build.price.note}."] if build.price and build.price.note else []
    if ways == {""}:
        return ["How the parts were come by is not on record.", *note]
    return [*([f"All parts {next(iter(ways))}."] if len(ways) == 1 else []), *note]


def _days(parts: Sequence[PartLine]) -> list[date]:
    """The days of the parts' prices, each once."""
    return sorted({part.on for part in parts if part.on is not None})


def _row_told(parts: Sequence[PartLine]) -> list[str]:
    """What stands beside each part: how it was come by, and its price, with its day where they differ.

    Where all were come by in one way the foot says so, and prices stand alone.
    """
    one_day, alike = len(_days(parts)) == 1, len({part.disclosed for part in parts}) == 1
    told = []
    for part in parts:
        day = "" if one_day or part.on is None else f", {day_words(part.on)}"
        how = [] if alike and _days(parts) else [part.disclosed or UNSAID]
        cost = [part.cost + day] if part.cost else [UNPRICED] if _days(parts) else []
        told.append("; ".join([*how, *cost]))
    return told


def _slot(build: BuildParts, names: Names, begun: Frame) -> list[Drawn]:
    """The build's mark at the right of the headline, where its lines leave room."""
    style, body = begun.style, begun.body
    slot, reach = names.slot(build.setup), 12 * style.unit
    head = [d for d in begun.drawn if isinstance(d, Words) and d.face is Face.SAY]
    at = (body.right - reach, min((d.y - 0.35 * d.size for d in head), default=body.top))
    taken = any(d.box.right > at[0] - 2 * reach for d in head)
    return [] if taken else [mark(slot.mark, at, scale=style.unit * 1.6, ink=slot.ink)]


def _rows(parts: Sequence[PartLine], every: Sequence[PartLine], begun: Frame) -> list[Drawn]:
    """Some of a build's parts, told as on the cards of `every` other."""
    style, body = begun.style, begun.body
    stacked = _stacks(every, style)
    most = (2 * MOST_ROW if stacked else MOST_ROW) * style.text[0]
    top = body.top + 0.5 * style.text[0]
    pitch = min((body.bottom - top) / len(parts), most)
    drawn: list[Drawn] = []
    told = dict(zip(every, _row_told(every), strict=True))
    for i, part in enumerate(parts):
        edges, how = (top + i * pitch, top + (i + 1) * pitch), told[part]
        drawn += _stacked(part, how, begun, edges) if stacked else _row(part, how, begun, edges)
    return drawn


def _stacks(parts: Sequence[PartLine], style: Style) -> bool:
    """Whether what is told of a part stands below its name: beside it nothing may be cut."""
    wide = style.width - 2 * style.margin
    size, room = style.text[1], (1 - KIND) * wide - 2 * style.text[1]
    told = zip(parts, _row_told(parts), strict=True)
    sizes = (width(p.name, size, Face.STRONG) + width(how, size) for p, how in told)
    return style.narrow or max(sizes, default=0.0) > room


def _rule(begun: Frame, y: float) -> Drawn:
    return line((begun.body.left, y), (begun.body.right, y), Pen(ink="line", width=begun.style.hair))


def _row(part: PartLine, how: str, begun: Frame, edges: tuple[float, float]) -> list[Drawn]:
    """Kind, name and what is told of it, beside each other."""
    style, body, (top, bottom) = begun.style, begun.body, edges
    wide, size, y = body.right - body.left, style.text[1], (top + bottom) / 2
    kind = shortest([part.kind.capitalize()], KIND * wide - size, sizes=(size, size)).lines[0]
    room = wide * (1 - KIND) - width(how, size) - size
    name = fit(part.name, room, sizes=style.text, face=Face.STRONG)
    return [
        _rule(begun, bottom),
        Words(x=body.left, y=centred(y, size), text=kind, size=size, ink="ink2"),
        Words(
            x=body.left + KIND * wide, y=centred(y, name.size), text=name.lines[0], size=name.size,
            face=Face.STRONG,
        ),
        Words(x=body.right, y=centred(y, size), text=how, size=size, anchor="end", ink="ink2"),
    ]  # fmt: skip


def _stacked(part: PartLine, how: str, begun: Frame, edges: tuple[float, float]) -> list[Drawn]:
    """The name, below it its kind and what is told of it."""
    style, body, (top, bottom) = begun.style, begun.body, edges
    size, wide, y = style.text[1], body.right - body.left, (top + bottom) / 2
    name = fit(part.name, wide, sizes=style.text, face=Face.STRONG)
    below = shortest([f"{part.kind.capitalize()}, {how}", how], wide, sizes=(size, size))
    return [
        _rule(begun, bottom),
        Words(x=body.left, y=y - 0.15 * size, text=name.lines[0], size=name.size, face=Face.STRONG),
        Words(x=body.left, y=y + 0.95 * size, text=below.lines[0], size=size, ink="ink2"),
    ]


def _none(begun: Frame) -> list[Drawn]:
    size = begun.style.text[0]
    at = begun.body.top + 2 * size
    return [Words(x=begun.body.left, y=at, text=NOTHING.capitalize(), size=size, ink="ink2")]
