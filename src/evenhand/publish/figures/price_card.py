"""The card of prices over time: each build's price by day as steps, gaps left open, and what is usual."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from evenhand.money.looked import KEPT_DAYS
from evenhand.money.price_days import HISTORY_DAYS, USUAL_DAYS, PriceDays, Usual
from evenhand.money.price_steps import Step, steps
from evenhand.publish.dates import MONTHS, day_words
from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.card_frame import card_frame
from evenhand.publish.figures.frame import Frame, centred, finish, nice_steps
from evenhand.publish.money_words import amount, bare_amount
from evenhand.publish.names import Names
from evenhand.publish.numbers import listed
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, mark, path
from evenhand.records.prices import Currency

TITLE = f"What the builds cost over {HISTORY_DAYS} days"
CAUTION = "their axis does not begin at zero."
NAMES_SHARE = 0.3  # of the body's width: what names and prices at the right take
TWO_LINES = 2.36  # of the type size: a name with its price below
BELOW = 1.9  # of the type size: room for months below the plot


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLine:
    """One build: its prices by day in minor units, and what was usual by the last day that is shown.

    On days of `out` one of its parts was in stock nowhere.
    """

    setup: str
    days: PriceDays
    usual: Usual | None = None
    out: frozenset[date] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceLines:
    """All builds that had a price on the days up to `until`; of the `unpriced` none is on record."""

    lines: tuple[PriceLine, ...]
    currency: Currency
    until: date
    unpriced: tuple[str, ...] = ()
    over: int = HISTORY_DAYS


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plot:
    found: PriceLines
    box: Box
    low: float
    high: float
    stairs: Mapping[str, Sequence[Step]]

    def x(self, day: date) -> float:
        first = self.found.until - timedelta(days=self.found.over - 1)
        return self.box.left + (self.box.right - self.box.left) * (day - first).days / self.found.over

    def y(self, minor: float) -> float:
        share = (minor - self.low) / (self.high - self.low)
        return self.box.bottom - share * (self.box.bottom - self.box.top)


def price_history_card(found: PriceLines, names: Names, *, style: Style) -> Picture:
    """Each build's steps in its colour and dash, its mark on the last day, its name at the right."""
    names = names.drawn()
    short = names.shortened(20)
    foot = [
        f"Prices up to {day_words(found.until)}; {CAUTION}",
        f"Thin lines: the median of {USUAL_DAYS} days.",
        f"A price stands until somebody looks again, {KEPT_DAYS} days at most.",
        *([f"No price: {listed(tuple(map(short.setup, found.unpriced)))}."] if found.unpriced else []),
    ]
    begun = card_frame(TITLE, foot, names, style)
    plot = _plot(found, begun)
    drawn = [*_grid(plot, begun), *_usual(plot, names, style), *_stairs(plot, names, style)]
    drawn += [*_months(plot, style), *_labels(plot, names, begun)]
    seen = "; ".join(_told(each, found, names) for each in found.lines)
    described = f"Days across, prices upward, up to {day_words(found.until)}. {seen}."
    return finish(begun, drawn, title=TITLE, description=described, names=names)


def _plot(found: PriceLines, begun: Frame) -> _Plot:
    style, body, size = begun.style, begun.body, begun.style.text[1]
    stairs = {
        e.setup: tuple(steps(e.days, until=found.until, over=found.over, out=e.out)) for e in found.lines
    }
    ends = [step.minor for own in stairs.values() for step in own]
    ends += [each.usual.minor for each in found.lines if each.usual]
    spread = max(max(ends) - min(ends), 0.04 * max(ends))
    low, high = min(ends) - 0.12 * spread, max(ends) + 0.12 * spread
    room = max(width(amount(end, found.currency), size) for end in (low, high)) + 0.6 * size
    right = body.right - NAMES_SHARE * (body.right - body.left) - (0.6 if style.narrow else 0) * size
    bottom = min(body.bottom, body.top + 1.3 * (body.right - body.left)) if style.narrow else body.bottom
    box = Box(left=body.left + room, top=body.top + 0.6 * size, right=right, bottom=bottom - BELOW * size)
    return _Plot(found=found, box=box, low=low, high=high, stairs=stairs)


def _grid(plot: _Plot, begun: Frame) -> Iterator[Drawn]:
    """Round prices at the left, each with a thin line across."""
    style, box, money = begun.style, plot.box, plot.found.currency
    size, step = style.text[1], max(nice_steps(plot.high - plot.low, 4), 1.0)
    ticks = [n * step for n in range(-int(-plot.low // step), int(plot.high // step) + 1)]
    for tick in ticks:
        y = plot.y(tick)
        yield line((box.left, y), (box.right, y), Pen(ink="line", width=style.hair))
        said = amount(tick, money) if tick == ticks[-1] else bare_amount(tick, money)
        yield Words(
            x=box.left - 0.3 * size, y=centred(y, size), text=said, size=size, anchor="end", ink="ink2"
        )
    yield line((box.left, box.bottom), (box.right, box.bottom), Pen(ink="post", width=style.hair))


def _months(plot: _Plot, style: Style) -> Iterator[Drawn]:
    """The first day of each month, by its name where there is room."""
    box, size, taken = plot.box, style.text[1], plot.box.left - 1e9
    for ago in range(plot.found.over - 1, -1, -1):
        day = plot.found.until - timedelta(days=ago)
        if day.day != 1:
            continue
        x = plot.x(day)
        yield line((x, box.bottom), (x, box.bottom + 5 * style.unit), Pen(ink="post", width=style.hair))
        words = Words(x=x, y=box.bottom + 1.25 * size, text=f"1 {MONTHS[day.month - 1][:3]}", size=size,
                      anchor="middle", ink="ink2")  # fmt: skip
        if (
            words.box.left > max(taken + 0.5 * size, box.left - 2 * size)
            and words.box.right < box.right + size
        ):
            yield words
            taken = words.box.right


def _usual(plot: _Plot, names: Names, style: Style) -> Iterator[Drawn]:
    start = plot.x(plot.found.until - timedelta(days=USUAL_DAYS - 1))
    for each in plot.found.lines:
        if each.usual is not None:
            y = plot.y(each.usual.minor)
            pen = Pen(ink=names.slot(each.setup).ink, width=style.hair * 1.2, opacity=0.7)
            yield line((start, y), (plot.box.right, y), pen)


def _stairs(plot: _Plot, names: Names, style: Style) -> Iterator[Drawn]:
    for each in plot.found.lines:
        slot, own = names.slot(each.setup), plot.stairs[each.setup]
        dash = (
            "" if slot.dash == "none" else " ".join(f"{float(n) * style.unit:g}" for n in slot.dash.split())
        )
        for d in _runs(plot, own):
            yield path(d, Pen(ink=slot.ink, width=3 * style.unit, dash=dash))
        last = own[-1]
        yield mark(slot.mark, (plot.x(last.start), plot.y(last.minor)), scale=style.unit * 1.2, ink=slot.ink)


def _runs(plot: _Plot, own: Sequence[Step]) -> Iterator[str]:
    """Steps that join each other as one line each."""
    d = ""
    for step in own:
        x, y = plot.x(step.start), plot.y(step.minor)
        d = f"{d}V{y:.1f}" if d else f"M{x:.1f} {y:.1f}"
        d += f"H{plot.x(step.end):.1f}"
        if not step.joined:
            yield d
            d = ""


def _labels(plot: _Plot, names: Names, begun: Frame) -> Iterator[Drawn]:
    """Each build by name with its last price, at the right, none over another."""
    style = begun.style
    size, left = style.text[1], plot.box.right + 0.9 * style.text[1]
    step, top, bottom = TWO_LINES * size, plot.box.top - 0.4 * size, begun.body.bottom
    ordered = sorted(plot.found.lines, key=lambda each: -plot.stairs[each.setup][-1].minor)
    room = max(int((bottom - top) / step), 1)
    y = top + step / 2
    for at, each in enumerate(ordered[:room]):
        last = plot.stairs[each.setup][-1]
        latest = bottom - step * (min(len(ordered), room) - at - 0.5)
        y = min(max(plot.y(last.minor), y), latest)
        start = (plot.x(last.start) + 9 * style.unit, plot.y(last.minor))
        yield line(start, (left - 0.25 * size, y), Pen(ink="post", width=style.hair * 0.8))
        yield from _label(each, last, plot.found, names, begun, (left, y))
        y += step


def _label(
    each: PriceLine, last: Step, found: PriceLines, names: Names, begun: Frame, at: tuple[float, float]
) -> Iterator[Drawn]:
    size, room = begun.style.text[1], begun.body.right - at[0]
    name = fit(names.setup(each.setup), room, sizes=(size, size), face=Face.STRONG).lines[0]
    first = at[1] - 0.59 * size
    yield Words(x=at[0], y=centred(first, size), text=name, size=size, face=Face.STRONG)
    price = amount(last.minor, found.currency)
    usual = f", usual {bare_amount(each.usual.minor, found.currency)}" if each.usual else ""
    said = price + usual if width(price + usual, size) <= room else price
    yield Words(x=at[0], y=centred(first + 1.12 * size, size), text=said, size=size, ink="ink2")


def _told(each: PriceLine, found: PriceLines, names: Names) -> str:
    """One build in words: from what to what, between which prices."""
    first = found.until - timedelta(days=found.over)
    shown = sorted(day for day in each.days if first < day <= found.until)
    minors, money = [each.days[day] for day in shown], found.currency
    usual = f", usual {amount(each.usual.minor, money)}" if each.usual else ""
    return (
        f"{names.setup(each.setup)} {amount(minors[0], money)} on {day_words(shown[0])}, "
        f"{amount(minors[-1], money)} on {day_words(shown[-1])}, between {bare_amount(min(minors), money)} "
        f"and {amount(max(minors), money)}{usual}"
    )
