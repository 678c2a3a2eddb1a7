"""The break-even card: the price of one setup, and for each audience where neither is the better value."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from evenhand.money.break_even import BreakEven, Value, better_value
from evenhand.publish.card_titles import Sayings, title
from evenhand.publish.dates import days_words
from evenhand.publish.direction import isolated
from evenhand.publish.faces import Face, elide, elide_name, fit, width
from evenhand.publish.figures.card_frame import card_frame, high, set_lines
from evenhand.publish.figures.frame import Frame, balanced, centred, finish, named, named_width
from evenhand.publish.money_words import amount, band_ends, bare_amount, even_word, even_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import count_word
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, mark, rect
from evenhand.records.prices import Currency

HEAD = 3.1  # of the type size: names and price over the rows
ROW, ROW_NARROW, MOST_ROW = 2.2, 3.5, 4.6  # of the type size: the least height of a row, and the most
NAMES, VALUES = 0.25, 0.2  # of a wide card's body: columns of names at the left, of words at the right
NARROW_NAME = 0.55  # of a narrow card's body: an audience's name, with the words beside it
AROUND = 430  # px: what head and foot of a card take
NOW = 0.8  # of a post's width: the line of today's price
APART = 0.6  # of the type size: between two amounts below a band


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """For one audience: between which prices of a neither is the better value, and what is said of that.

    `value_open` says of today's price within the band that the two are not shown to be level.
    """

    audience: str
    even: BreakEven
    sayings: Sayings
    value_open: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Prices:
    """The price of a on a day in minor units of the currency, beside b's, and the audiences."""

    a: str
    b: str
    now: int
    other: int
    days: tuple[date, ...]
    currency: Currency
    levels: tuple[Level, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axis:
    """Prices to pixels; `now` is today's price."""

    left: float
    right: float
    low: float
    high: float
    now: float

    def x(self, minor: float) -> float:
        """The place of a price."""
        return self.left + (minor - self.low) / (self.high - self.low) * (self.right - self.left)


def break_even_cards(prices: Prices, names: Names, *, style: Style) -> tuple[Picture, ...]:
    """A row for each audience with a band, all on one axis; more than a card holds go on several.

    A card is headed by what is said for the first audience on it.
    """
    names = names.drawn()
    room = (style.height or 1080) - AROUND - HEAD * style.text[0]
    row = ROW_NARROW if style.narrow else ROW
    shares = balanced(len(prices.levels), max(1, int(room / (row * style.text[0]))))
    starts = [sum(shares[:i]) for i in range(len(shares))]
    pages = [prices.levels[at : at + n] for at, n in zip(starts, shares, strict=True)]
    return tuple(_picture(prices, page, (i, len(pages)), names, style) for i, page in enumerate(pages))


def _picture(
    prices: Prices, levels: Sequence[Level], place: tuple[int, int], names: Names, style: Style
) -> Picture:
    a, b = names.setup(prices.a), names.setup(prices.b)
    otherwise = "At which price the two are worth the same"
    said = title(levels[0].sayings, names, style, otherwise=otherwise)
    begun = card_frame(said, _foot(prices, said, place, names), names, style)
    axis = _axis(prices, begun)
    top = begun.body.top + HEAD * style.text[0]
    pitch = min((begun.body.bottom - top) / len(levels), MOST_ROW * style.text[0])
    if not style.narrow:
        top += (begun.body.bottom - top - pitch * len(levels)) / 3
    drawn = _heads(prices, names, begun)
    placed = [(level, (top + i * pitch, top + (i + 1) * pitch)) for i, level in enumerate(levels)]
    for level, edges in placed:
        drawn += _band(level, axis, edges, style)
    rows = [_row(level, prices, names, begun, edges) for level, edges in placed]
    drawn += _now(prices, axis, begun, names, top)
    for row, (_, edges) in zip(rows, placed, strict=True):
        drawn.append(_through(row, axis.x(prices.now), edges, style))
    for row, (level, edges) in zip(rows, placed, strict=True):
        drawn += row
        drawn += _amounts(_told_at(level, prices, axis), axis, style, edges[1])
    seen = "; ".join(_seen(level, prices, names) for level in levels)
    now, other = (amount(minor, prices.currency) for minor in (prices.now, prices.other))
    described = f"The price of {a} on a line, {now} now; {b} at {other}. {seen}."
    return finish(begun, drawn, title=f"{said} ({a} against {b})", description=described, names=names)


def _foot(prices: Prices, said: str, place: tuple[int, int], names: Names) -> list[str]:
    """Which part it is, what the other costs, with the days that the title does not say, how to read it."""
    at, of = place
    part = f"Part {count_word(at + 1)} of {count_word(of)}. " if of > 1 else ""
    short, days = names.shortened(20).setup(prices.b), days_words(prices.days)
    costs = f"{short} costs {amount(prices.other, prices.currency)}" + ("" if days in said else f", {days}")
    return [
        f"{part}{costs}.",
        "Left of a band the one is the better value, right of it the other; within, either.",
    ]


def _axis(prices: Prices, begun: Frame) -> _Axis:
    ends = [float(prices.now)]
    for level in prices.levels:
        ends += [e for e in (level.even.low, level.even.at, level.even.high) if e is not None]
    spread = max(max(ends) - min(ends), 0.02 * max(ends))
    body, size = begun.body, begun.style.text[0]
    wide = 0.0 if begun.style.narrow else body.right - body.left
    return _Axis(
        left=body.left + NAMES * wide + size, right=body.right - VALUES * wide - size,
        low=min(ends) - 0.18 * spread, high=max(ends) + 0.18 * spread, now=prices.now,
    )  # fmt: skip


def _heads(prices: Prices, names: Names, begun: Frame) -> list[Drawn]:
    """Who is the better value to the left of a band, and to the right."""
    style, body = begun.style, begun.body
    size, y = style.text[1], body.top + 0.9 * style.text[0]
    drawn: list[Drawn] = []
    for setup, right in ((prices.a, False), (prices.b, True)):
        name = elide_name(names.setup(setup), " by value", 0.44 * (body.right - body.left), size=size)
        words = Words(x=body.left, y=y, text=name, size=size, face=Face.STRONG)
        x = body.right - named_width(words, style) if right else body.left
        drawn += named(names.slot(setup), replace(words, x=x), style)
    return drawn


def _row(level: Level, prices: Prices, names: Names, begun: Frame, edges: tuple[float, float]) -> list[Drawn]:
    """An audience by name, and who is the better value for it at today's price."""
    style, body, (top, bottom) = begun.style, begun.body, edges
    wide, size = body.right - body.left, style.text[1]
    room = NARROW_NAME * wide if style.narrow else NAMES * wide - size
    name = fit(level.audience, room, sizes=style.text, lines=1 if style.narrow else 2)
    start = top + 0.1 * size if style.narrow else (top + bottom - high(name)) / 2
    baseline = top + 0.1 * size + 0.92 * style.text[0] if style.narrow else centred((top + bottom) / 2, size)
    beside = (1.0 - NARROW_NAME) * wide - size if style.narrow else VALUES * wide + size
    said = elide(_value_word(level, prices, names), beside, size, Face.STRONG)
    word = Words(x=body.right, y=baseline, text=said, size=size, anchor="end", face=Face.STRONG)
    rule = line((body.left, top), (body.right, top), Pen(ink="line", width=style.hair))
    return [rule, *(replace(text, halo="paper") for text in set_lines(name, (body.left, start))), word]


def _through(row: Sequence[Drawn], x: float, edges: tuple[float, float], style: Style) -> Drawn:
    """Today's price as a line through a row: below its words where it would cross any."""
    near, (top, bottom) = 0.4 * style.text[1], edges
    boxes = (each.box for each in row if isinstance(each, Words))
    if any(box.left - near < x < box.right + near for box in boxes):
        top = _lane(edges, style)[0]
    return line((x, top), (x, bottom), Pen(ink="ink", width=NOW * style.post))


def _lane(edges: tuple[float, float], style: Style) -> tuple[float, float]:
    """From where to where a band reaches in its row: below its name on a narrow card, above its amounts."""
    top, bottom = edges
    upper = top + (1.35 * style.text[0] if style.narrow else 0.25 * style.text[0])
    return upper, bottom - 1.25 * style.text[1]


def _band(level: Level, axis: _Axis, edges: tuple[float, float], style: Style) -> list[Drawn]:
    """The band between its two posts, on the line of prices."""
    upper, lower = _lane(edges, style)
    middle = (upper + lower) / 2
    drawn: list[Drawn] = [line((axis.left, middle), (axis.right, middle), Pen(ink="post", width=style.hair))]
    low, high_end = level.even.low, level.even.high
    if low is None or high_end is None:
        return drawn
    left, right = axis.x(low), axis.x(high_end)
    drawn.append(rect(Box(left=left, top=upper, right=right, bottom=lower), fill="band"))
    post = Pen(ink="post", width=style.post)
    return [*drawn, *(line((x, upper), (x, lower), post) for x in (left, right))]


def _told_at(level: Level, prices: Prices, axis: _Axis) -> list[tuple[float, str]]:
    """The amounts at which the band begins and ends; without an interval the one at which they are level."""
    low, high_end = level.even.low, level.even.high
    told = band_ends(level.even)
    if low is None or high_end is None or told is None:
        return [(axis.x(level.even.at), amount(level.even.at, prices.currency))]
    ends = bare_amount(told[0], prices.currency), amount(told[1], prices.currency)
    return [(axis.x(low), ends[0]), (axis.x(high_end), ends[1])]


def _value_word(level: Level, prices: Prices, names: Names) -> str:
    """Who is the better value at today's price."""
    value = better_value(prices.now, against=level.even)
    who = {Value.A: prices.a, Value.B: prices.b}.get(value)
    if value is Value.LEVEL:
        return even_word(value_open=level.value_open)
    return names.setup(who) if who else "no interval"


def _amounts(told: list[tuple[float, str]], axis: _Axis, style: Style, bottom: float) -> list[Drawn]:
    """Amounts below their posts, pushed apart where they would touch, clear of today's price and the ends."""
    size = style.text[1]
    wide = [width(text, size) for _, text in told]
    places = [x for x, _ in told]
    if len(told) == 2:
        over = max((wide[0] + wide[1]) / 2 + APART * size - (places[1] - places[0]), 0.0)
        places = [places[0] - over / 2, places[1] + over / 2]
    posts = [x for x, _ in told]
    shift = _shift([(x - w / 2, x + w / 2) for x, w in zip(places, wide, strict=True)], posts, axis, size)
    y = bottom - 0.35 * size
    return [
        Words(x=x + shift, y=y, text=text, size=size, anchor="middle", ink="ink2", halo="paper")
        for x, (_, text) in zip(places, told, strict=True)
    ]


def _shift(
    spans: list[tuple[float, float]], posts: Sequence[float], axis: _Axis, size: float
) -> float:  # fmt: skip
    """The least that these stretches are moved together to lie within the axis and clear of a place.

    Each stays on that side of the place on which its post stands, if they can.
    """
    low, high, clear = axis.left - size, axis.right + size, 0.3 * size
    now = axis.x(axis.now)
    tries = [0.0, low - spans[0][0], high - spans[-1][1]]
    tries += [side for left, right in spans for side in (now - clear - right, now + clear - left)]

    def free(shift: float) -> bool:
        inside = spans[0][0] + shift >= low - 1 and spans[-1][1] + shift <= high + 1
        hit = any(left + shift < now + clear - 1 and right + shift > now - clear + 1 for left, right in spans)
        return inside and not hit

    def turned(shift: float) -> int:
        middles = ((left + right) / 2 + shift for left, right in spans)
        return sum((middle - now) * (post - now) < 0 for middle, post in zip(middles, posts, strict=True))

    fitting = (shift for shift in tries if free(shift))
    return min(fitting, key=lambda each: (turned(each), abs(each)), default=max(low - spans[0][0], 0.0))


def _now(prices: Prices, axis: _Axis, begun: Frame, names: Names, top: float) -> list[Drawn]:
    """Today's price over all rows: its mark and amount, and a line down to the first."""
    style, x = begun.style, axis.x(prices.now)
    slot, size = names.slot(prices.a), style.text[0]
    said = f"{amount(prices.now, prices.currency)} now"
    half = width(said, size, Face.STRONG) / 2
    y = top - 0.95 * size
    held = min(max(x, axis.left - style.text[1] + half), axis.right + style.text[1] - half)
    drawn: list[Drawn] = [line((x, top - 0.3 * size), (x, top), Pen(ink="ink", width=NOW * style.post))]
    drawn.append(mark(slot.mark, (x, top - 0.3 * size), scale=style.unit, ink=slot.ink))
    drawn.append(
        Words(
            x=held, y=centred(y, size) - 0.2 * size, text=said, size=size, anchor="middle", face=Face.STRONG
        )
    )
    return drawn


def _seen(level: Level, prices: Prices, names: Names) -> str:
    even, currency = level.even, prices.currency
    at = f"{isolated(level.audience)}: worth the same at {amount(even.at, currency)}"
    if (ends := band_ends(even)) is not None:
        at += f" ({bare_amount(ends[0], currency)} to {bare_amount(ends[1], currency)})"
    value = better_value(prices.now, against=even)
    who = {Value.A: prices.a, Value.B: prices.b}.get(value)
    nobody = even_words(value_open=level.value_open) if value is Value.LEVEL else "no interval"
    stands = f"{names.setup(who)} is the better value now" if who else f"{nobody} now"
    return f"{at}, {stands}"
