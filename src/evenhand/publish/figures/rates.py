"""Rates with their intervals: each setup's average, and its 1% low hollow, on one scale for each unit.

A bar here is an interval and nothing else: it begins where the interval begins, never at zero, so its
length says how sure the number is, and not how large.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.errors import NotEnoughRuns
from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.frame import Frame, centred, finish, frame, named, named_width, nice_steps
from evenhand.publish.meanings import LOWS, meaning
from evenhand.publish.names import Names
from evenhand.publish.numbers import (
    count_word,
    decimals_for,
    estimate_words,
    level_words,
    listed,
    number,
    span_of,
)
from evenhand.publish.palette import Slot
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, mark, rect
from evenhand.records.estimates import Estimate

MOST_LANES_ON_CARD = 10
MOST_LANES_ON_PAGE = 80


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """What one setup did in one test: the average over its runs and, where there is one, the 1% low."""

    test: str
    setup: str
    average: Estimate
    low: Estimate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """The columns of a picture of rates: where each ends or stands, and the scale between.

    `columns` holds the averages and the lows that stand under each other.
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

    def x(self, rate: float) -> float:
        """The place of a rate on the scale."""
        return self.left + (rate - self.first) / (self.last - self.first) * (self.right - self.left)


def rate_bars(
    rates: Sequence[Rate], names: Names, *, style: Style, low_label: str = "1% low", headline: str = ""
) -> tuple[Picture, ...]:
    """Averages and 1% lows of every setup, test by test; one scale, and one picture or more, for each unit.

    `low_label` names the definition behind the hollow marks; `headline` is the sentence on top.
    Raises NotEnoughRuns without any rate.
    """
    if not rates:
        raise NotEnoughRuns("no rate to draw", todo="import runs that count first")
    units = dict.fromkeys(rate.average.unit for rate in rates)
    pictures: list[Picture] = []
    for unit in units:
        own = [rate for rate in rates if rate.average.unit == unit]
        said = headline or _headline(own, low_label)
        lows = low_label if any(rate.low for rate in own) else ""
        pages = _pages(_by_test(own), style)
        pictures += [_picture(p, (said, lows), names, style, _limits(own, style)) for p in pages]
    return tuple(pictures)


def _headline(rates: Sequence[Rate], low_label: str) -> str:
    if any(rate.low for rate in rates):
        return f"Filled: the average. Hollow: the {low_label}."
    return f"Averages in {rates[0].average.unit}, with their intervals"


def _by_test(rates: Sequence[Rate]) -> list[list[Rate]]:
    tests = dict.fromkeys(rate.test for rate in rates)
    return [[rate for rate in rates if rate.test == test] for test in tests]


def _pages(blocks: list[list[Rate]], style: Style) -> list[list[list[Rate]]]:
    """Tests dealt out to pictures, as even as the room allows; a test is never parted."""
    most = MOST_LANES_ON_PAGE if style.roomy else MOST_LANES_ON_CARD
    fewest = max(1, -(-sum(map(len, blocks)) // most))
    while True:
        share = -(-len(blocks) // fewest)
        pages = [blocks[i : i + share] for i in range(0, len(blocks), share)]
        if share == 1 or all(sum(map(len, page)) <= most for page in pages):
            return pages
        fewest += 1


def _limits(rates: Sequence[Rate], style: Style) -> tuple[float, float, float]:
    """Where the scale begins and ends, and the step of its ticks."""
    estimates = [e for rate in rates for e in (rate.average, rate.low) if e is not None]
    low = min(e.value if e.low is None else e.low for e in estimates)
    high = max(e.value if e.high is None else e.high for e in estimates)
    spread = (high - low) or max(abs(high), 1.0) * 0.1
    step = nice_steps(spread * 1.1, 8 if style.roomy else 4)
    return low - 0.06 * spread, high + 0.06 * spread, step


def _picture(
    blocks: list[list[Rate]],
    said: tuple[str, str],
    names: Names,
    style: Style,
    limits: tuple[float, float, float],
) -> Picture:
    lanes = sum(map(len, blocks))
    unit = blocks[0][0].average.unit
    pitch = 1.75 * style.text[0]
    headline, low_label = said
    foot = _foot(blocks, names, low_label)
    begun = frame(headline, foot, style=style, wanted=_header(style) + pitch * lanes)
    layout = _layout(blocks, begun, names, (limits, low_label))
    drawn = [*_scale(layout, unit), *_heads(layout, low_label)]
    top = begun.body.top + _header(style)
    room = begun.body.bottom - top
    pitch = min(room / lanes, 2.4 * style.text[0])
    top += (room - pitch * lanes) / 2
    for block in blocks:
        drawn += _block(block, layout, top, pitch)
        top += pitch * len(block)
    tests = listed(tuple(names.test(block[0].test) for block in blocks))
    seen = "; ".join(_described(rate, names, low_label) for block in blocks for rate in block)
    return finish(
        begun, drawn, title=f"Rates in {unit}: {tests}", description=f"Rates with intervals: {seen}."
    )


def _described(rate: Rate, names: Names, low_label: str) -> str:
    low = f", {low_label} {estimate_words(rate.low)}" if rate.low else ""
    return f"{names.test(rate.test)}, {names.setup(rate.setup)}: {estimate_words(rate.average)}{low}"


def _foot(blocks: list[list[Rate]], names: Names, low_label: str) -> list[str]:
    rates = [rate for block in blocks for rate in block]
    level = level_words(rates[0].average.level)
    runs = sorted({rate.average.n for rate in rates})
    counts = count_word(runs[0]) if len(runs) == 1 else f"{count_word(runs[0])} to {count_word(runs[-1])}"
    terms = [f"{names.terms.rstrip('.')}."] if names.terms else []
    return [
        f"Bars: {level} interval of {counts} run{'s' if runs != [1] else ''} each.",
        _meaning(rates, low_label),
        *terms,
    ]


def _meaning(rates: Sequence[Rate], low_label: str) -> str:
    """What the filled bars mean, and the hollow ones where there are any."""
    average = "average_fps" if rates[0].average.unit == "fps" else "score"
    return meaning([average, *([LOWS.get(low_label, low_label)] if low_label else [])])


def _header(style: Style) -> float:
    return 30 if style.roomy else 62


def _layout(
    blocks: list[list[Rate]], begun: Frame, names: Names, told: tuple[tuple[float, float, float], str]
) -> Layout:
    (first, last, step), low_label = told
    style, body = begun.style, begun.body
    size, gap = style.text[0], 0.6 * style.text[0]
    rates = [rate for block in blocks for rate in block]
    tests = min(0.22 * style.width, max(width(names.test(r.test), size) for r in rates))
    setups = min(0.17 * style.width, max(_setup_width(r, names, style) for r in rates))
    columns = [r.average for r in rates], [r.low for r in rates if r.low]
    averages = max(width(_digits(e, columns[0], style), size, Face.STRONG) for e in columns[0])
    averages = max(averages, _head_width("average", style))
    lows = max([width(_digits(e, columns[1], style), size) for e in columns[1]], default=0.0)
    lows = max(lows, _head_width(low_label, style)) + 2 * gap if low_label else 0.0
    setups_left = body.left + tests + gap
    averages_right = body.right - lows
    return Layout(
        frame=begun, names=names, setups_left=setups_left, left=setups_left + setups + gap + 6 * style.unit,
        right=averages_right - averages - gap, averages_right=averages_right,
        first=first, last=last, step=step, averages_left=averages_right - averages, columns=columns,
    )  # fmt: skip


def _setup_width(rate: Rate, names: Names, style: Style) -> float:
    return named_width(Words(x=0, y=0, text=names.setup(rate.setup), size=style.text[0]), style)


def _head_width(text: str, style: Style) -> float:
    return width(text, style.text[1])


def _digits(estimate: Estimate, column: Sequence[Estimate], style: Style) -> str:
    """The number, and on a page its interval, to the decimals that both it and its column allow.

    33.9 below 34 reads as two degrees of care: where numbers of one power of ten differ by one decimal,
    all show the fewer.
    """
    span, own = span_of(estimate), span_of(estimate).decimals
    alike = [span_of(e).decimals for e in column if _power(e) == _power(estimate)]
    decimals = own - 1 if own - 1 in alike else own
    interval, digits = span.range(decimals=decimals), span.digits(decimals=decimals)
    return f"{digits} ({interval})" if style.roomy and interval else digits


def _power(estimate: Estimate) -> int:
    return math.floor(math.log10(abs(estimate.value))) if estimate.value else 0


def _scale(layout: Layout, unit: str) -> list[Drawn]:
    """Lines at round rates, numbered above wherever the numbers do not crowd, and the unit's name."""
    style, body = layout.frame.style, layout.frame.body
    top, size = body.top + _header(style), style.text[1]
    hair = Pen(ink="line", width=style.hair)
    first, last = -int(-layout.first // layout.step), int(layout.last // layout.step)
    ticks = [i * layout.step for i in range(first, last + 1)]
    drawn: list[Drawn] = [line((layout.x(t), top), (layout.x(t), body.bottom), hair) for t in ticks]
    drawn.append(line((body.left, top), (body.right, top), Pen(ink="post", width=style.hair)))
    decimals = decimals_for(layout.step)
    name = Words(x=body.left, y=top - 0.4 * size, text=unit, size=size, ink="ink2")
    taken = name.box.right + size
    for tick in ticks:
        label = replace(name, x=layout.x(tick), text=number(tick, decimals), anchor="middle")
        if label.box.left > taken and label.box.right < layout.averages_left - 0.5 * size:
            drawn.append(label)
            taken = label.box.right + 0.4 * size
    return [*drawn, name]


def _heads(layout: Layout, low_label: str) -> list[Drawn]:
    style, body = layout.frame.style, layout.frame.body
    size = style.text[1]
    average = Words(
        x=layout.averages_right, y=body.top + _header(style) - 0.4 * size, text="average", size=size,
        anchor="end", ink="ink2",
    )  # fmt: skip
    return [average, replace(average, x=body.right, text=low_label)] if low_label else [average]


def _block(block: list[Rate], layout: Layout, top: float, pitch: float) -> list[Drawn]:
    """One test: its name beside its lanes, one lane for each setup, a rule below."""
    style, body = layout.frame.style, layout.frame.body
    bottom = top + pitch * len(block)
    drawn: list[Drawn] = [line((body.left, bottom), (body.right, bottom), Pen(ink="line", width=style.hair))]
    room = layout.setups_left - body.left - 0.4 * style.text[0]
    name = fit(layout.names.test(block[0].test), room, sizes=style.text, lines=len(block))
    first = top + pitch / 2
    drawn += [
        Words(x=body.left, y=centred(first, name.size) + i * 1.15 * name.size, text=text, size=name.size)
        for i, text in enumerate(name.lines)
    ]
    for i, rate in enumerate(block):
        drawn += _lane(rate, layout, first + i * pitch)
    return drawn


def _lane(rate: Rate, layout: Layout, y: float) -> list[Drawn]:
    style, slot = layout.frame.style, layout.names.slot(rate.setup)
    room = layout.left - layout.setups_left - 19.5 * style.unit - 0.6 * style.text[0] - 6 * style.unit
    name = fit(layout.names.setup(rate.setup), max(room, style.text[1]), sizes=style.text)
    words = Words(x=layout.setups_left, y=centred(y, name.size), text=name.lines[0], size=name.size)
    drawn: list[Drawn] = [*named(slot, words, style)]
    if rate.low:
        drawn += _form(rate.low, slot, layout, y, hollow=True)
    return [*drawn, *_form(rate.average, slot, layout, y, hollow=False), *_said(rate, layout, y)]


def _said(rate: Rate, layout: Layout, y: float) -> list[Drawn]:
    style = layout.frame.style
    size = style.text[0]
    average = Words(
        x=layout.averages_right, y=centred(y, size), size=size, anchor="end",
        text=_digits(rate.average, layout.columns[0], style),
        face=Face.STRONG if not style.roomy else Face.TEXT,
    )  # fmt: skip
    if rate.low is None:
        return [average]
    low = _digits(rate.low, layout.columns[1], style)
    return [average, replace(average, x=layout.frame.body.right, text=low, face=Face.TEXT, ink="ink2")]


def _form(estimate: Estimate, slot: Slot, layout: Layout, y: float, *, hollow: bool) -> list[Drawn]:
    """The interval as a bar with a cut where the estimate lies; without an interval the mark alone.

    The lane's name carries the mark, so that it need not hide a narrow interval here.
    """
    unit, x = layout.frame.style.unit, layout.x(estimate.value)
    if estimate.low is None or estimate.high is None:
        return [mark(slot.mark, (x, y), scale=unit, ink=slot.ink, hollow=hollow)]
    least, high = 1.5 * unit, 5.5 * unit
    low, top = min(layout.x(estimate.low), x - least), max(layout.x(estimate.high), x + least)
    bar = Box(left=low, top=y - high, right=top, bottom=y + high)
    cut = line((x, y - high), (x, y + high), Pen(ink=slot.ink if hollow else "paper", width=1.1 * unit))
    notch = [cut] if bar.right - bar.left > 12 * unit else []
    if hollow:
        return [rect(bar, fill="sheet", pen=Pen(ink=slot.ink, width=1.3 * unit), rounded=0.6 * unit), *notch]
    return [rect(bar, fill=slot.ink, rounded=0.6 * unit), *notch]
