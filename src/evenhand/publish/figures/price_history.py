"""What a build or a part cost over time as a small picture: days as steps, gaps left open, what is usual.

Across in per cent of the width, upward in pixels, so that type keeps its size on a phone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta

from evenhand.money.price_days import HISTORY_DAYS, USUAL_DAYS, PriceDays, Usual
from evenhand.money.price_steps import Step, steps
from evenhand.publish.dates import day_words
from evenhand.publish.figures.percent_svg import at, box, figure, level, upright, word
from evenhand.publish.money_words import amount, bare_amount
from evenhand.publish.numbers import counted
from evenhand.publish.palette import Slot
from evenhand.publish.picture import Picture
from evenhand.records.prices import Currency

HIGH, TOP, BOTTOM = 136, 30.0, 100.0
RIGHT = 97.5  # of the width: the mark on the last day stays within it
ROOM = 0.02  # of the middle: the least that the scale holds on either side
LOOKED = '<circle class="looked" r="2"/>'


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """What something cost on the days up to one, and what was usual by then.

    `name` is whose price it is; a build wears its slot. On days of `out` it was in stock nowhere.
    """

    name: str
    days: PriceDays
    until: date
    currency: Currency
    usual: Usual | None = None
    slot: Slot | None = None
    over: int = HISTORY_DAYS
    out: frozenset[date] = frozenset()

    @property
    def shown(self) -> Sequence[date]:
        """The days with a price that are shown, the earliest first."""
        return sorted(day for day in self.days if self.until - timedelta(days=self.over) < day <= self.until)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Plot:
    history: History
    low: float
    high: float
    steps: Sequence[Step] = field(default_factory=tuple)

    def x(self, day: date) -> float:
        """Where a day begins, in per cent of the width."""
        first = self.history.until - timedelta(days=self.history.over - 1)
        return RIGHT * (day - first).days / self.history.over

    def y(self, minor: float) -> float:
        return BOTTOM - (minor - self.low) / (self.high - self.low) * (BOTTOM - TOP)


def price_history(history: History) -> Picture | None:
    """The picture; None where no day has a price."""
    if not history.shown:
        return None
    plot = _plot(history)
    title, seen = f"What {history.name} cost", seen_words(history)
    kind = f"step b{history.slot.number}" if history.slot else "step plain"
    body = "".join((*_axis(plot), *_usual(plot), *_stairs(plot, kind), *_labels(plot), *_looked(plot)))
    svg = figure(body, HIGH, title=title, seen=seen, kind="prices")
    return Picture(svg=svg, width=0, height=HIGH, title=title, description=seen)


def seen_words(history: History) -> str:
    """What is seen, in words."""
    shown, money = history.shown, history.currency
    first, last = shown[0], shown[-1]
    minors = [history.days[day] for day in shown]
    ends = f"{amount(minors[0], money)} on {day_words(first)}"
    if len(shown) > 1:
        ends = f"From {ends} to {amount(minors[-1], money)} on {day_words(last)}"
    usual = f" Usual over {USUAL_DAYS} days: {amount(history.usual.minor, money)}." if history.usual else ""
    between = f"between {bare_amount(min(minors), money)} and {amount(max(minors), money)}"
    return f"{ends}, {between}, looked up on {counted(len(shown), 'day')} of {history.over}.{usual}"


def _plot(history: History) -> _Plot:
    ends = [history.days[day] for day in history.shown]
    ends += [history.usual.minor] if history.usual else []
    middle = (min(ends) + max(ends)) / 2
    half = 1.15 * max((max(ends) - min(ends)) / 2, ROOM * middle)
    found = tuple(steps(history.days, until=history.until, over=history.over, out=history.out))
    return _Plot(history=history, low=middle - half, high=middle + half, steps=found)


def _stairs(plot: _Plot, kind: str) -> Iterator[str]:
    for here, following in zip(plot.steps, (*plot.steps[1:], None), strict=True):
        yield level(plot.y(here.minor), kind, start=plot.x(here.start), end=plot.x(here.end))
        if here.joined and following is not None:
            ends = sorted((plot.y(here.minor), plot.y(following.minor)))
            yield upright(plot.x(here.end), ends[0], ends[1], kind)


def _looked(plot: _Plot) -> Iterator[str]:
    """A dot on each day on which somebody looked, and the build's mark on the last."""
    slot = plot.history.slot
    for step in plot.steps[:-1]:
        yield at(plot.x(step.start), plot.y(step.minor), LOOKED)
    last = plot.steps[-1]
    drawn = f'<path class="dot b{slot.number}" d="{slot.mark}"/>' if slot else '<circle class="dot" r="5"/>'
    yield at(plot.x(last.start), plot.y(last.minor), drawn)


def _usual(plot: _Plot) -> Iterator[str]:
    usual = plot.history.usual
    if usual is not None:
        start = plot.x(plot.history.until - timedelta(days=USUAL_DAYS - 1))
        yield box(start, plot.y(usual.minor) - 3, RIGHT - start, 6)
        yield level(plot.y(usual.minor), "post", start=start, end=RIGHT)


def _axis(plot: _Plot) -> Iterator[str]:
    yield level(BOTTOM + 8)
    first, until = plot.history.until - timedelta(days=plot.history.over - 1), plot.history.until
    for ago in range(plot.history.over):
        day = until - timedelta(days=ago)
        if day.day == 1 and day > first:
            yield upright(plot.x(day), BOTTOM + 8, BOTTOM + 13)


def _labels(plot: _Plot) -> Iterator[str]:
    """The first and the last day of the time shown, and between which prices."""
    history = plot.history
    first = history.until - timedelta(days=history.over - 1)
    yield word(day_words(first), 0, HIGH - 4)
    yield word(day_words(history.until), 100, HIGH - 4, anchor="end")
    minors = [history.days[day] for day in history.shown]
    span = amount(max(minors), history.currency)
    if min(minors) != max(minors):
        span = f"{bare_amount(min(minors), history.currency)} to {span}"
    yield word(span, 0, 14, kind="str")
    if history.usual:
        yield word(f"usual {amount(history.usual.minor, history.currency)}", 100, 14, anchor="end")
