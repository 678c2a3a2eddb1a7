"""The card of price and performance: what each build costs across, its index with its interval upward."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from evenhand.findings.outcomes import SHOWN_INTERVAL
from evenhand.publish.among_words import value_among_words
from evenhand.publish.card_titles import Sayings, title
from evenhand.publish.dates import days_words
from evenhand.publish.direction import isolated
from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.card_frame import card_frame
from evenhand.publish.figures.frame import Frame, centred, finish, headline_fits, nice_steps, tick_decimals
from evenhand.publish.money_words import amount, bare_amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import level_words, listed, number
from evenhand.publish.picture import Picture
from evenhand.publish.spans import Span
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, mark
from evenhand.records.prices import Currency
from evenhand.verdicts.among import Among

CAUTION = "Neither axis begins at zero."  # begins the foot, so that it never yields to room
OTHERWISE = "What each build costs, and what it gives"
NAMES_SHARE = 0.34  # of the body's width: what names and numbers at the right take
MOST_TWO_LINES, LINE = 5, 1.0  # builds with price and index below the name; of the type size, a single line
LOW_MARGIN = 1.7  # of the type size: room for amounts below the plot


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """One build: its price in minor units, and its index with an interval, the first build's being 100."""

    setup: str
    minor: int
    index: float
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceIndex:
    """All builds with a price, for one audience; `base` is the build whose index is 100.

    `sayings` are of the first pair, the sentence of a study of two; `among` is how all of more stand.
    """

    audience: str
    base: str
    points: tuple[Point, ...]
    currency: Currency
    days: tuple[date, ...]
    unpriced: tuple[str, ...]
    sayings: Sayings
    among: Among | None = None


def price_index_card(found: PriceIndex, names: Names, *, style: Style) -> Picture:
    """Each build its mark, where price and index meet, and its name with both in words at the right."""
    names = names.drawn()
    said, short = _title(found, names, style), names.shortened(20)
    whom = isolated(found.audience)
    foot = [
        f"{CAUTION} Index for {whom}, {short.setup(found.base)} = 100; bars: {level_words(SHOWN_INTERVAL)}.",
        f"Prices of {days_words(found.days)}.",
        *([f"No price: {listed(tuple(map(short.setup, found.unpriced)))}."] if found.unpriced else []),
    ]
    begun = card_frame(said, foot, names, style)
    box = _box(begun)
    across, up = _across(found.points, box), _up(found.points, box)
    around = [*_axes(found, begun, box, (across, up)), *_labels(found, names, begun, box, (across, up))]
    drawn: list[Drawn] = [each for each in around if not isinstance(each, Words)]  # below all numbers
    for point in found.points:
        drawn += _point(point, names, style, (across.at(point.minor), up))
    drawn += [each for each in around if isinstance(each, Words)]
    seen = "; ".join(_told(point, found, names) for point in found.points)
    described = f"Price across, index upward. {seen}."
    return finish(begun, drawn, title=f"{said} (for {whom})", description=described, names=names)


def _title(found: PriceIndex, names: Names, style: Style) -> str:
    """The pair's sentence of two builds; of more that over all of them, with shorter names where it must."""
    if found.among is None:
        return title(found.sayings, names, style, otherwise=OTHERWISE)
    wordings = (_over_all(found, called) for called in (names, names.shortened(20), names.shortened()))
    return next((said for said in wordings if said and headline_fits(said, style)), OTHERWISE)


def _over_all(found: PriceIndex, names: Names) -> str:
    said = value_among_words(found.among, names) if found.among else ""
    return said and f"For {isolated(found.audience)}, {said}, prices of {days_words(found.days)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Scale:
    """A quantity to pixels, from `low` at `start` to `high` at `end`, with round steps."""

    low: float
    high: float
    start: float
    end: float
    step: float

    def at(self, value: float) -> float:
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    @property
    def ticks(self) -> list[float]:
        first, last = -int(-self.low // self.step), int(self.high // self.step)
        return [i * self.step for i in range(first, last + 1)]


def _box(begun: Frame) -> Box:
    style, body, size = begun.style, begun.body, begun.style.text[1]
    right = body.right - NAMES_SHARE * (body.right - body.left)
    if style.narrow:
        right = body.right - 0.36 * (body.right - body.left)
    bottom = min(body.bottom, body.top + 1.45 * (body.right - body.left)) if style.narrow else body.bottom
    return Box(
        left=body.left + 2.2 * size, top=body.top + 0.6 * size, right=right, bottom=bottom - LOW_MARGIN * size
    )


def _scale(values: Sequence[float], pixels: tuple[float, float], parts: int) -> _Scale:
    spread = max(max(values) - min(values), 0.02 * max(map(abs, values)))
    low, high = min(values) - 0.12 * spread, max(values) + 0.12 * spread
    return _Scale(low=low, high=high, start=pixels[0], end=pixels[1], step=nice_steps(high - low, parts))


def _across(points: Sequence[Point], box: Box) -> _Scale:
    return _scale([float(p.minor) for p in points], (box.left, box.right), 3)


def _up(points: Sequence[Point], box: Box) -> _Scale:
    ends = [e for p in points for e in (p.index, p.low, p.high) if e is not None]
    return _scale(ends, (box.bottom, box.top), 4)


def _axes(found: PriceIndex, begun: Frame, box: Box, scales: tuple[_Scale, _Scale]) -> list[Drawn]:
    """Round prices below, round indexes at the left, a ground line."""
    (across, up), style = scales, begun.style
    size, hair = style.text[1], Pen(ink="line", width=style.hair)
    drawn: list[Drawn] = []
    for tick in up.ticks:
        y = up.at(tick)
        drawn.append(line((box.left, y), (box.right, y), hair))
        text = number(tick, tick_decimals(up.step))
        drawn.append(
            Words(x=box.left - 0.3 * size, y=centred(y, size), text=text, size=size, anchor="end", ink="ink2")
        )
    drawn.append(line((box.left, box.bottom), (box.right, box.bottom), Pen(ink="post", width=style.hair)))
    taken = box.left - 2 * size
    ticks = across.ticks
    for tick in ticks:
        told = amount if tick == ticks[-1] else bare_amount
        words = Words(
            x=across.at(tick), y=box.bottom + 1.15 * size, text=told(tick, found.currency), size=size,
            anchor="middle", ink="ink2", halo="paper",
        )  # fmt: skip
        if words.box.left > taken and words.box.right < begun.body.right:
            drawn += [
                line(
                    (words.x, box.bottom),
                    (words.x, box.bottom + 4 * style.unit),
                    Pen(ink="post", width=style.hair),
                ),
                words,
            ]
            taken = words.box.right + 0.4 * size
    return drawn


def _point(point: Point, names: Names, style: Style, place: tuple[float, _Scale]) -> list[Drawn]:
    """The interval upright with its caps, the mark on it."""
    x, up = place
    slot, unit = names.slot(point.setup), style.unit
    drawn: list[Drawn] = []
    if point.low is not None and point.high is not None:
        pen = Pen(ink=slot.ink, width=3 * unit)
        low, high = up.at(point.low), up.at(point.high)
        drawn.append(line((x, low), (x, high), pen))
        drawn += [
            line((x - 6 * unit, y), (x + 6 * unit, y), Pen(ink=slot.ink, width=1.6 * unit))
            for y in (low, high)
        ]
    return [*drawn, mark(slot.mark, (x, up.at(point.index)), scale=unit * 1.3, ink=slot.ink)]


def _labels(
    found: PriceIndex, names: Names, begun: Frame, box: Box, scales: tuple[_Scale, _Scale]
) -> list[Drawn]:
    """Each build by name with its index, at the right, on a thin line from its mark; none over another."""
    style, (across, up) = begun.style, scales
    size, left = style.text[1], box.right + 0.9 * style.text[1]
    edges = (box.top - 0.4 * size, begun.body.bottom - 0.2 * size)
    step = 2.36 * size if _two_lines(found) else LINE * size
    ordered = sorted(found.points, key=lambda p: -p.index)[: int((edges[1] - edges[0]) / step)]
    places = _spread([up.at(p.index) for p in ordered], step, edges)
    drawn: list[Drawn] = []
    for point, y in zip(ordered, places, strict=True):
        start = (across.at(point.minor) + 9 * style.unit, up.at(point.index))
        drawn.append(line(start, (left - 0.25 * size, y), Pen(ink="post", width=style.hair * 0.8)))
        drawn += _label(point, found, names, begun, (left, y))
    return drawn


def _label(
    point: Point, found: PriceIndex, names: Names, begun: Frame, at: tuple[float, float]
) -> list[Drawn]:
    room, size = begun.body.right - at[0], begun.style.text[1]
    index = _index_words(point)
    two = _two_lines(found)
    name_room = room if two else room - width(f" {index}", size)
    name = fit(names.setup(point.setup), name_room, sizes=(size, size), face=Face.STRONG).lines[0]
    first = at[1] - (0.59 * size if two else 0.0)
    own = Words(x=at[0], y=centred(first, size), text=name, size=size, face=Face.STRONG)
    where = (at[0], centred(first + 1.12 * size, size)) if two else (own.box.right + 0.3 * size, own.y)
    told = f"{index}, {amount(point.minor, found.currency)}" if two else index
    told = told if width(told, size) <= room else index
    return [own, Words(x=where[0], y=where[1], text=told, size=size, ink="ink2")]


def _two_lines(found: PriceIndex) -> bool:
    """Whether each build has room for its price below its name."""
    return len(found.points) <= MOST_TWO_LINES


def _index_words(point: Point) -> str:
    return Span(value=point.index, low=point.low, high=point.high).digits()


def _spread(wished: Sequence[float], step: float, edges: tuple[float, float]) -> list[float]:
    """Heights as near the wished ones as lets none come closer than a step, within the edges."""
    low, high = edges[0] + step / 2, edges[1] - step / 2
    placed: list[float] = []
    for y in wished:
        placed.append(max(y, placed[-1] + step) if placed else max(y, low))
    over = max(placed[-1] - high, 0.0) if placed else 0.0
    for i in range(len(placed) - 1, -1, -1):
        limit = high if i == len(placed) - 1 else placed[i + 1] - step
        placed[i] = min(placed[i], limit) if over else placed[i]
    return placed


def _told(point: Point, found: PriceIndex, names: Names) -> str:
    index = Span(value=point.index, low=point.low, high=point.high)
    return f"{names.setup(point.setup)} at {amount(point.minor, found.currency)}, index {index.words('')}"
