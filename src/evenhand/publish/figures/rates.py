"""Rates with their intervals: each setup's average, and its 1% low hollow, on one scale for each unit.

A bar here is an interval and nothing else: it begins where the interval begins, never at zero, so its
length says how sure the number is, and not how large.
"""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.errors import NotEnoughRuns
from evenhand.findings.finding import Finding
from evenhand.publish.figures.frame import changed_terms, finish, foot_fits, frame, nice_steps
from evenhand.publish.figures.rate_columns import Rate, header, layout_of
from evenhand.publish.figures.rate_lanes import draw_block, heads, scale_lines
from evenhand.publish.meanings import LOWS, meaning
from evenhand.publish.names import Names
from evenhand.publish.numbers import (
    count_word,
    estimate_words,
    level_words,
    listed,
)
from evenhand.publish.picture import Picture
from evenhand.publish.reservations import on_rates
from evenhand.publish.style import Style

MOST_LANES_ON_CARD = 10
MOST_LANES_ON_PAGE = 80


def rate_bars(
    rates: Sequence[Rate],
    names: Names,
    *,
    style: Style,
    low_label: str = "1% low",
    findings: Sequence[Finding] = (),
) -> tuple[Picture, ...]:
    """Averages and 1% lows of every setup, test by test; one scale, and one picture or more, for each unit.

    `low_label` names the definition behind the hollow marks; the foot tells the reservations that the
    headline `findings` of the tests drawn carry. Raises NotEnoughRuns without any rate.
    """
    if not rates:
        raise NotEnoughRuns("no rate to draw", todo="import runs that count first")
    units = dict.fromkeys(rate.average.unit for rate in rates)
    pictures: list[Picture] = []
    for unit in units:
        own = [rate for rate in rates if rate.average.unit == unit]
        lows = low_label if any(rate.low for rate in own) else ""
        carried = [f for f in findings if f.headline and names.unit(f.test) == unit]
        pages, limits = _pages(_by_test(own), style), _limits(own, style)
        pictures += [
            _picture(page, (lows, _reserved(page, pages, carried)), names, style, limits) for page in pages
        ]
    return tuple(pictures)


def _reserved(
    page: list[list[Rate]], pages: list[list[list[Rate]]], findings: Sequence[Finding]
) -> tuple[str, ...]:
    """What the findings of a page's tests carry; those of tests that nobody draws stand on the last."""
    drawn = {block[0].test for each in pages for block in each}
    own = {block[0].test for block in page}
    left = {f.test for f in findings} - drawn if page is pages[-1] else set()
    return on_rates([f for f in findings if f.test in own | left])


def _headline(unit: str, low_label: str) -> str:
    if low_label:
        return f"Filled: the average. Hollow: the {low_label}."
    return f"Averages in {unit}, with their intervals"


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
    told: tuple[str, tuple[str, ...]],
    names: Names,
    style: Style,
    limits: tuple[float, float, float],
) -> Picture:
    lanes = sum(map(len, blocks))
    unit = blocks[0][0].average.unit
    pitch = 1.75 * style.text[0]
    low_label, wanted = told[0], header(style) + pitch * lanes
    begun = frame(_headline(unit, low_label), _foot(blocks, told, names, style), style=style, wanted=wanted)
    layout = layout_of(blocks, begun, names, (limits, low_label))
    drawn = [*scale_lines(layout, unit), *heads(layout, low_label)]
    top = begun.body.top + header(style)
    room = begun.body.bottom - top
    pitch = min(room / lanes, 2.4 * style.text[0])
    top += (room - pitch * lanes) / 2
    for block in blocks:
        drawn += draw_block(block, layout, top, pitch)
        top += pitch * len(block)
    tests = listed(tuple(names.test(block[0].test) for block in blocks))
    seen = "; ".join(_described(rate, names, low_label) for block in blocks for rate in block)
    return finish(
        begun, drawn, title=f"Rates in {unit}: {tests}", description=f"Rates with intervals: {seen}."
    )


def _described(rate: Rate, names: Names, low_label: str) -> str:
    low = f", {low_label} {estimate_words(rate.low)}" if rate.low else ""
    return f"{names.test(rate.test)}, {names.setup(rate.setup)}: {estimate_words(rate.average)}{low}"


def _foot(
    blocks: list[list[Rate]], told: tuple[str, tuple[str, ...]], names: Names, style: Style
) -> list[str]:
    """What the bars are, said in full where all of it fits, else shorter."""
    rates = [rate for block in blocks for rate in block]
    terms = [f"{names.terms.rstrip('.')}."] if names.terms else []
    level, runs = level_words(rates[0].average.level), _runs(rates)
    for bars in (f"Bars: {level} interval of {runs} each.", f"Bars: {level}, {runs} each."):
        foot = [bars, *changed_terms(names, bars, style), *told[1], _meaning(rates, told[0]), *terms]
        if foot_fits(foot, style):
            break
    return foot


def _runs(rates: Sequence[Rate]) -> str:
    runs = sorted({rate.average.n for rate in rates})
    counts = count_word(runs[0]) if len(runs) == 1 else f"{count_word(runs[0])} to {count_word(runs[-1])}"
    return f"{counts} run{'s' if runs != [1] else ''}"


def _meaning(rates: Sequence[Rate], low_label: str) -> str:
    """What the filled bars mean, and the hollow ones where there are any."""
    average = "average_fps" if rates[0].average.unit == "fps" else "score"
    return meaning([average, *([LOWS.get(low_label, low_label)] if low_label else [])])
