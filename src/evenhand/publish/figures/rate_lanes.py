"""The lanes of a picture of rates: the scale above, each setup's name, its intervals and its numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenhand.publish.faces import Face, fit, width
from evenhand.publish.figures.frame import centred, named, tick_decimals
from evenhand.publish.figures.rate_columns import Layout, Rate, digits_of, header
from evenhand.publish.meanings import which_is_better
from evenhand.publish.numbers import capital, number
from evenhand.publish.palette import Slot
from evenhand.publish.style import Style
from evenhand.publish.svg import Box, Drawn, Pen, Words, line, mark, rect
from evenhand.records.estimates import Estimate

# In units: half the height of a bar, and of one that shares its lane; how far those stand from the middle;
# half the least width of a bar; how far a mark reaches.
HIGH, SLIM, PARTED, LEAST, MARK = 5.5, 4.0, 5.0, 2.0, 7.5
MOST_UNIT = 0.3  # of the width: what the unit and which way is better may take over the lanes


def unit_words(rate: Rate, style: Style) -> str:
    """The unit as it stands over the lanes, with which way is better where that has room."""
    unit = rate.average.unit if rate.average.unit != "1" else ""
    if not better_over(rate, style):
        return unit
    return f"{unit}, {_better(rate)}" if unit else capital(_better(rate))


def better_over(rate: Rate, style: Style) -> bool:
    """Whether the words for which way is better stand over the lanes, beside the unit."""
    words = f"{rate.average.unit}, {_better(rate)}"
    return rate.better is not None and width(words, style.text[1]) <= MOST_UNIT * style.width


def _better(rate: Rate) -> str:
    return "".join(which_is_better(rate.better)).rstrip(".").lower()


def scale_lines(layout: Layout, unit: str, bottom: float) -> list[Drawn]:
    """Lines at round rates down to the last lane, numbered above where numbers do not crowd, and the unit."""
    style, body = layout.frame.style, layout.frame.body
    top, size = body.top + header(style), style.text[1]
    hair = Pen(ink="line", width=style.hair)
    first, last = -int(-layout.first // layout.step), int(layout.last // layout.step)
    ticks = [i * layout.step for i in range(first, last + 1)]
    drawn: list[Drawn] = [line((layout.x(t), top), (layout.x(t), bottom), hair) for t in ticks]
    drawn.append(line((body.left, top), (body.right, top), Pen(ink="post", width=style.hair)))
    decimals = tick_decimals(layout.step)
    name = Words(x=body.left, y=top - 0.4 * size, text=unit, size=size, ink="ink2")
    taken = name.box.right + size
    for tick in ticks:
        label = replace(name, x=layout.x(tick), text=number(tick, decimals), anchor="middle")
        if label.box.left > taken and label.box.right < layout.averages_left - 0.5 * size:
            drawn.append(label)
            taken = label.box.right + 0.4 * size
    return [*drawn, name]


def heads(layout: Layout, low_label: str) -> list[Drawn]:
    """What the columns of numbers are."""
    style, body = layout.frame.style, layout.frame.body
    size = style.text[1]
    average = Words(
        x=layout.averages_right, y=body.top + header(style) - 0.4 * size, text="average", size=size,
        anchor="end", ink="ink2",
    )  # fmt: skip
    return [average, replace(average, x=body.right, text=low_label)] if low_label else [average]


def draw_block(block: list[Rate], layout: Layout, top: float, pitch: float) -> list[Drawn]:
    """One test: its name beside its lanes, or over them on a narrow card; one lane a setup, a rule below."""
    style, body = layout.frame.style, layout.frame.body
    bottom = top + pitch * (len(block) + style.narrow)
    drawn: list[Drawn] = [line((body.left, bottom), (body.right, bottom), Pen(ink="line", width=style.hair))]
    room = body.right - body.left if style.narrow else layout.setups_left - body.left - 0.4 * style.text[0]
    lines = 1 if style.narrow else len(block)
    name = fit(layout.names.test(block[0].test), room, sizes=style.text, lines=lines)
    first = top + pitch / 2
    drawn += [
        Words(
            x=body.left, y=centred(first, name.size) + i * 1.15 * name.size, text=text, size=name.size,
            halo="paper" if style.narrow else "",
        )
        for i, text in enumerate(name.lines)
    ]  # fmt: skip
    for i, rate in enumerate(block):
        drawn += _lane(rate, layout, first + (i + style.narrow) * pitch)
    return drawn


def _lane(rate: Rate, layout: Layout, y: float) -> list[Drawn]:
    style, slot = layout.frame.style, layout.names.slot(rate.setup)
    room = layout.left - layout.setups_left - 19.5 * style.unit - 0.6 * style.text[0] - 6 * style.unit
    name = fit(layout.names.setup(rate.setup), max(room, style.text[1]), sizes=style.text)
    words = Words(x=layout.setups_left, y=centred(y, name.size), text=name.lines[0], size=name.size)
    drawn: list[Drawn] = [*named(slot, words, style)]
    apart = PARTED * style.unit if layout.parted else 0.0
    if rate.low:
        drawn += _form(rate.low, slot, layout, y + apart, hollow=True)
    return [*drawn, *_form(rate.average, slot, layout, y - apart, hollow=False), *_said(rate, layout, y)]


def overlapping(rates: Sequence[Rate], layout: Layout) -> bool:
    """Whether in any lane the average would hide some of the low."""
    pairs = [(extent(rate.average, layout), extent(rate.low, layout)) for rate in rates if rate.low]
    return any(low < other_high and other_low < high for (low, high), (other_low, other_high) in pairs)


def extent(estimate: Estimate, layout: Layout) -> tuple[float, float]:
    """From where to where an estimate is drawn."""
    unit, x = layout.frame.style.unit, layout.x(estimate.value)
    if estimate.low is None or estimate.high is None:
        return x - MARK * unit, x + MARK * unit
    return min(layout.x(estimate.low), x - LEAST * unit), max(layout.x(estimate.high), x + LEAST * unit)


def widened(rate: Rate, layout: Layout) -> bool:
    """Whether a bar of its lane is drawn wider than the interval, to be seen at all."""
    least = 2 * LEAST * layout.frame.style.unit
    return any(
        e.low is not None and e.high is not None and layout.x(e.high) - layout.x(e.low) < least
        for e in (rate.average, rate.low)
        if e is not None
    )


def _said(rate: Rate, layout: Layout, y: float) -> list[Drawn]:
    style = layout.frame.style
    size = style.text[0]
    average = Words(
        x=layout.averages_right, y=centred(y, size), size=size, anchor="end",
        text=digits_of(rate.average, layout.columns[0], style),
        face=Face.STRONG if not style.roomy else Face.TEXT,
    )  # fmt: skip
    if rate.low is None:
        return [average]
    low = digits_of(rate.low, layout.columns[1], style)
    return [average, replace(average, x=layout.frame.body.right, text=low, face=Face.TEXT, ink="ink2")]


def _form(estimate: Estimate, slot: Slot, layout: Layout, y: float, *, hollow: bool) -> list[Drawn]:
    """The interval as a bar with a cut where the estimate lies; without an interval the mark alone.

    The lane's name carries the mark, so that it need not hide a narrow interval here.
    """
    unit, x = layout.frame.style.unit, layout.x(estimate.value)
    if estimate.low is None or estimate.high is None:
        scale = unit * (SLIM / MARK if layout.parted else 1.0)
        return [mark(slot.mark, (x, y), scale=scale, ink=slot.ink, hollow=hollow)]
    high = (SLIM if layout.parted else HIGH) * unit
    left, right = extent(estimate, layout)
    bar = Box(left=left, top=y - high, right=right, bottom=y + high)
    cut = line((x, y - high), (x, y + high), Pen(ink=slot.ink if hollow else "paper", width=1.1 * unit))
    notch = [cut] if bar.right - bar.left > 12 * unit else []
    if hollow:
        return [rect(bar, fill="sheet", pen=Pen(ink=slot.ink, width=1.7 * unit), rounded=0.6 * unit), *notch]
    return [rect(bar, fill=slot.ink, rounded=0.6 * unit), *notch]
