"""The columns of a picture of rates, and the scale between them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.publish.faces import Face, width
from evenhand.publish.figures.frame import Frame, named_width
from evenhand.publish.names import Names
from evenhand.publish.spans import decimals_beside, span_of
from evenhand.publish.style import Style
from evenhand.publish.svg import Words
from evenhand.records.estimates import Estimate
from evenhand.records.tests import Direction

MOST_SETUP = 0.23  # of the width: what the names of setups may take, their marks included
MOST_SETUP_ALONE = 0.25  # the same where no column of lows takes its room
MOST_SETUP_STACKED = 0.3  # the same on a narrow card, whose tests are named over the lanes
MARKED = 19.5  # units: from where a mark begins to where its words begin
LONGEST = 20  # characters of a name that is cut short


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """What one setup did in one test: the average over its runs and, where there is one, the 1% low.

    `metric` is the definition behind the average, `better` which way it is better, where that is to be said.
    """

    test: str
    setup: str
    average: Estimate
    metric: str = "average_fps"
    low: Estimate | None = None
    better: Direction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Where a scale begins and ends, and the step of its ticks."""

    first: float
    last: float
    step: float

    @property
    def says_zero(self) -> bool:
        """Whether zero is in view."""
        return self.first <= 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """The columns of a picture of rates: where each ends or stands, and the scale between.

    `columns` holds the averages and the lows that stand under each other. With `parted` the average stands
    above the low in each lane, so that neither hides the other.
    """

    frame: Frame
    names: Names
    setups_left: float
    left: float
    right: float
    averages_right: float
    first: float
    last: float
    step: float
    averages_left: float
    columns: tuple[Sequence[Estimate], Sequence[Estimate]]
    parted: bool = False

    def x(self, rate: float) -> float:
        """The place of a rate on the scale; of one beyond all drawing, the end of the scale."""
        return self.left + (min(rate, self.last) - self.first) / (self.last - self.first) * (
            self.right - self.left
        )


def lane_names(rates: Sequence[Rate], names: Names, style: Style) -> Names:
    """The names with setups' so short that each stands in its lanes uncut: one form for all of a picture."""
    room = _most_setup(rates, style) * style.width - MARKED * style.unit
    shorter = (names, *(names.shortened(most) for most in range(LONGEST, 2, -1)))
    setups = dict.fromkeys(rate.setup for rate in rates)
    fits = (
        called
        for called in shorter
        if all(width(called.setup(setup), style.text[1]) <= room for setup in setups)
    )
    return next(fits, shorter[-1])


def header(style: Style) -> float:
    """How high the heads over the lanes stand."""
    return 30 if style.roomy else 62


def layout_of(blocks: list[list[Rate]], begun: Frame, names: Names, told: tuple[Limits, str]) -> Layout:
    """The columns that these tests need, with the scale's ends and step, and what the lows are called."""
    limits, low_label = told
    style, body = begun.style, begun.body
    size, gap = style.text[0], 0.6 * style.text[0]
    rates = [rate for block in blocks for rate in block]
    tests = min(0.22 * style.width, max(width(names.test(r.test), size) for r in rates))
    tests = -gap if style.narrow else tests  # their names stand over the lanes
    setups = min(_most_setup(rates, style) * style.width, max(_setup_width(r, names, style) for r in rates))
    columns = [r.average for r in rates], [r.low for r in rates if r.low]
    averages = max(width(digits_of(e, columns[0], style), size, Face.STRONG) for e in columns[0])
    averages = max(averages, _head_width("average", style))
    lows = max([width(digits_of(e, columns[1], style), size) for e in columns[1]], default=0.0)
    lows = max(lows, _head_width(low_label, style)) + 2 * gap if low_label else 0.0
    setups_left = body.left + tests + gap
    averages_right = body.right - lows
    return Layout(
        frame=begun, names=names, setups_left=setups_left, left=setups_left + setups + gap + 6 * style.unit,
        right=averages_right - averages - gap, averages_right=averages_right,
        first=limits.first, last=limits.last, step=limits.step,
        averages_left=averages_right - averages, columns=columns,
    )  # fmt: skip


def _most_setup(rates: Sequence[Rate], style: Style) -> float:
    if style.narrow:
        return MOST_SETUP_STACKED
    return MOST_SETUP if any(rate.low for rate in rates) else MOST_SETUP_ALONE


def _setup_width(rate: Rate, names: Names, style: Style) -> float:
    return named_width(Words(x=0, y=0, text=names.setup(rate.setup), size=style.text[0]), style)


def _head_width(text: str, style: Style) -> float:
    return width(text, style.text[1])


def digits_of(estimate: Estimate, column: Sequence[Estimate], style: Style) -> str:
    """The number, and on a page its interval, to the decimals that both it and its column allow.

    Where numbers of one power of ten differ by one decimal, all show the fewer.
    """
    span = span_of(estimate)
    decimals = decimals_beside(span, (span_of(e) for e in column if _power(e) == _power(estimate)))
    interval, digits = span.range(decimals=decimals), span.digits(decimals=decimals)
    return f"{digits} ({interval})" if style.roomy and interval else digits


def _power(estimate: Estimate) -> int:
    return math.floor(math.log10(abs(estimate.value))) if estimate.value else 0
