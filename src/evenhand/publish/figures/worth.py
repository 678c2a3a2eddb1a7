"""Two pictures of money: between which prices neither is the better value, and what each drell buys.

Across in per cent of the width, upward in pixels, so that type keeps its size on a phone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenhand.money.break_even import BreakEven, better_value
from evenhand.publish.faces import Face, width
from evenhand.publish.figures.percent_svg import at, box, figure, level, upright, word
from evenhand.publish.money_words import amount, band_ends, bare_amount, even_word, even_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import number
from evenhand.publish.picture import Picture
from evenhand.records.prices import Currency

BAND_HIGH, BAND_TOP, BAND_BOTTOM = 146, 28.0, 112.0
SLOPE_TOP, SLOPE_STEP, LABEL = 46.0, 34.0, 19.0
LEFT, RIGHT = 27.0, 71.0  # per cent: where the two columns of the slopes stand
NAME_PX, LEAST_WIDE = 14.0, 400.0  # size of the words over the band; where "level" is shown beside both names
PHONE, AIR = 320.0, 5.0  # px: how narrow a picture may be, and how near words may stand to a post
TIGHT = 9.0  # per cent: nearer labels of an axis would touch on a phone


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """The price of a setup beside what would be worth the same as the other: minor units of `currency`.

    `value_open` says that today's price within the band is not shown to be level, `band_open` that not every
    price within it is.
    """

    a: str
    b: str
    now: int
    even: BreakEven
    currency: Currency
    value_open: bool = False
    band_open: bool = False


def price_band(worth: Worth, names: Names) -> Picture:
    """The price of a on a line: below the band a is the better value, above it b, within it either."""
    a, b = names.setup(worth.a), names.setup(worth.b)
    ends = [worth.now, worth.even.at, *(e for e in (worth.even.low, worth.even.high) if e is not None)]
    spread = max(max(ends) - min(ends), 0.02 * worth.even.at)
    low, high = min(ends) - 0.35 * spread, max(ends) + 0.35 * spread

    def x(minor: float) -> float:
        return 100 * (minor - low) / (high - low)

    title = f"Which of {a} and {b} is the better value as the price of {a} moves"
    seen = _band_seen(worth, a, b)
    body = "".join((*_band(worth, x), *_band_names(a, b, x, worth), *_now(worth, x, names)))
    svg = figure(body, BAND_HIGH, title=title, seen=seen)
    return Picture(svg=svg, width=0, height=BAND_HIGH, title=title, description=seen)


def _band_seen(worth: Worth, a: str, b: str) -> str:
    says = {
        "a": f"{a} is the better value",
        "b": f"{b} is the better value",
        "level": f"they are {even_words(value_open=worth.value_open)}",
    }
    value = better_value(worth.now, against=worth.even).value
    at = f"Worth the same at {amount(worth.even.at, worth.currency)}"
    if (ends := band_ends(worth.even)) is not None:
        low, high = (bare_amount(end, worth.currency) for end in ends)
        at += f", {low} to {high}"
    return f"{at}. At {amount(worth.now, worth.currency)} today {says.get(value, 'nothing is said')}."


def _band(worth: Worth, x: Callable[[float], float]) -> Iterator[str]:
    if worth.even.low is not None and worth.even.high is not None:
        left, right = x(worth.even.low), x(worth.even.high)
        yield box(left, BAND_TOP, right - left, BAND_BOTTOM - BAND_TOP)
        yield from (upright(post, BAND_TOP, BAND_BOTTOM, "post") for post in (left, right))
    yield upright(x(worth.even.at), BAND_TOP, BAND_BOTTOM, "zero")
    yield level(BAND_BOTTOM)


def _band_names(a: str, b: str, x: Callable[[float], float], worth: Worth) -> Iterator[str]:
    """Both sides and the band by name, and its edges as amounts."""
    yield word(f"{a} by value", 0, 16, kind="str")
    between = "neither" if worth.band_open else even_word(value_open=False)
    left, half, right = (_share(words) for words in (f"{a} by value", between, f"{b} by value"))
    if left + half / 2 < x(worth.even.at) < 100 - right - half / 2:
        yield word(between, x(worth.even.at), 16, kind="str wide-only", anchor="middle")
    yield word(f"{b} by value", 100, 16, kind="str", anchor="end")
    ends = band_ends(worth.even)
    shown = {} if ends is None else dict(zip((worth.even.low, worth.even.high), ends, strict=True))
    edges = [e for e in (worth.even.low, worth.even.at, worth.even.high) if e is not None]
    if len(edges) == 3 and min(x(edges[1]) - x(edges[0]), x(edges[2]) - x(edges[1])) < TIGHT:
        edges = [edges[0], edges[2]] if x(edges[2]) - x(edges[0]) > TIGHT else [edges[1]]
    for edge in edges:
        told = amount if edge is edges[-1] else bare_amount
        middle = " wide-only" if len(edges) == 3 and edge is edges[1] else ""
        yield upright(x(edge), BAND_BOTTOM, BAND_BOTTOM + 6)
        yield word(
            told(shown.get(edge, edge), worth.currency),
            x(edge),
            BAND_BOTTOM + 23,
            kind=f"str{middle}",
            anchor="middle",
        )


def _share(words: str) -> float:
    """How much of the narrowest picture words over the band take, with a little air, in per cent."""
    return 100 * (width(words, NAME_PX, Face.STRONG) + NAME_PX / 2) / LEAST_WIDE


def _now(worth: Worth, x: Callable[[float], float], names: Names) -> Iterator[str]:
    """Today's price, and how far it is from the band."""
    y, here, slot = (BAND_TOP + BAND_BOTTOM) / 2 + 8, x(worth.now), names.slot(worth.a)
    nearest, posts = _nearest_edge(worth), [x(e) for e in (worth.even.low, worth.even.high) if e is not None]
    if nearest is not None:
        yield level(y, start=min(here, x(nearest)), end=max(here, x(nearest)))
        apart = amount(abs(nearest - worth.now), worth.currency)
        yield word(apart, _clear(apart, (here + x(nearest)) / 2, posts), y + 19, anchor="middle")
    anchor, dx = ("start", -8) if here < TIGHT else ("end", 8) if here > 100 - TIGHT else ("middle", 0)
    said = f"{bare_amount(worth.now, worth.currency)} now"
    yield at(here, y, f'<path class="dot b{slot.number}" d="{slot.mark}" transform="scale(1.35)"/>')
    over = _clear(said, here, posts) if anchor == "middle" else here
    yield word(said, over, y - 16, kind="str halo", anchor=anchor, dx=dx)


def _clear(words: str, centre: float, posts: Sequence[float]) -> float:
    """Where words that belong at a place are centred, in per cent: clear of posts on a phone, if they can be.

    >>> [round(_clear("998 now", at, [60.0, 80.0])) for at in (20, 58, 61, 90)]
    [20, 50, 70, 90]
    """
    half = 100 * (width(words, NAME_PX, Face.STRONG) / 2 + AIR) / PHONE
    least = max((post for post in posts if post <= centre), default=0.0) + half
    most = min((post for post in posts if post > centre), default=100.0) - half
    return min(max(centre, least), most) if least <= most else centre


def _nearest_edge(worth: Worth) -> float | None:
    """The edge of the band that today's price is out of; None inside it, or without one."""
    ends = band_ends(worth.even)
    if ends is None or ends[0] <= worth.now <= ends[1]:
        return None
    low, high = ends
    return low if worth.now < low else high


@dataclass(frozen=True, slots=True, kw_only=True)
class PerMoney:
    """What a setup gives for a thousand of the currency, one setup's index being 1: alone, and with more."""

    setup: str
    alone: float
    with_more: float


SIDES: tuple[Callable[[PerMoney], float], ...] = (lambda row: row.alone, lambda row: row.with_more)


def per_money(rows: Sequence[PerMoney], names: Names, *, more: str) -> Picture:
    """Each setup's index for a thousand, for the box alone and with `more` that comes with any of them."""
    alone, with_more = ({row.setup: side(row) for row in rows} for side in SIDES)
    high = round(SLOPE_TOP + SLOPE_STEP * (len(rows) - 1) + 18)
    body = word("the box alone", LEFT, 16, anchor="middle") + word(more, RIGHT, 16, anchor="middle")
    places = _heights(alone), _heights(with_more)
    for row in rows:
        slot = names.slot(row.setup)
        y1, y2 = places[0][row.setup], places[1][row.setup]
        body += f'<line class="ln b{slot.number}" x1="{LEFT}%" x2="{RIGHT}%" y1="{y1:.1f}" y2="{y2:.1f}"/>'
    body += "".join(piece for row in rows for piece in _ends(row, names, places))
    title = "Index for a thousand of the currency, alone and with what must be bought besides"
    seen = per_money_seen(rows, names)
    svg = figure(body, high, title=title, seen=seen)
    return Picture(svg=svg, width=0, height=high, title=title, description=seen)


def per_money_seen(rows: Sequence[PerMoney], names: Names) -> str:
    """What is seen, in words."""
    told = (", ".join(f"{names.setup(row.setup)} {number(side(row), 3)}" for row in rows) for side in SIDES)
    return f"Alone: {next(told)}; with the rest: {next(told)}."


def _heights(values: Mapping[str, float]) -> dict[str, float]:
    """How far down each stands, from the highest on, in proportion, but no two labels over each other."""
    ordered = sorted(values, key=lambda setup: -values[setup])
    first, last = values[ordered[0]], values[ordered[-1]]
    whole, scale = SLOPE_STEP * (len(ordered) - 1), first - last or 1.0
    placed: list[float] = []
    for setup in ordered:
        y = SLOPE_TOP + (first - values[setup]) / scale * whole
        placed.append(max(y, placed[-1] + LABEL) if placed else y)
    over = max(placed[-1] - SLOPE_TOP - whole, 0.0) / max(len(placed) - 1, 1)
    return {setup: y - over * i for i, (setup, y) in enumerate(zip(ordered, placed, strict=True))}


def _ends(row: PerMoney, names: Names, places: tuple[Mapping[str, float], ...]) -> Iterator[str]:
    """Both marks of a setup with its numbers; whoever is first on a side in bold."""
    slot, name = names.slot(row.setup), names.setup(row.setup)
    mark = f'<path class="dot b{slot.number}" d="{slot.mark}" transform="scale(1.15)"/>'
    said = (f"{name} {number(row.alone, 3)}", f"{number(row.with_more, 3)} {name}")
    for x, own, words, (anchor, dx) in zip(
        (LEFT, RIGHT), places, said, (("end", -14), ("start", 14)), strict=True
    ):
        y = own[row.setup]
        kind = "str" if y == min(own.values()) else "mut"
        yield at(x, y, mark) + word(words, x, y + 5, kind=kind, anchor=anchor, dx=dx)
