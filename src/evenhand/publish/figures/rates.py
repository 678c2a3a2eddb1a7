"""Rates with their intervals: each setup's average, and its 1% low hollow, on one scale for each unit.

A bar here is an interval and nothing else: it begins where the interval begins, never at zero, so its
length says how sure the number is, and not how large.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.errors import NotEnoughRuns
from evenhand.findings.finding import Finding
from evenhand.publish.figures.frame import (
    LARGEST_DRAWN,
    finish,
    fitting_names,
    foot_fits,
    frame,
    headline_fits,
    must_say,
    nice_steps,
)
from evenhand.publish.figures.rate_columns import Rate, header, lane_names, layout_of
from evenhand.publish.figures.rate_lanes import draw_block, heads, overlapping, scale_lines
from evenhand.publish.fronts import fronts_headline
from evenhand.publish.meanings import LOWS, meaning
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, count_word, counted, level_words, listed, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.reservations import on_rates
from evenhand.publish.spans import estimate_words, span_of
from evenhand.publish.style import Style

MOST_LANES_ON_CARD = 10
MOST_LANES_ON_PAGE = 80
LANES_OVER_LONG_FOOT = 8  # with so many lanes or fewer a card has room for a third line at its foot


def rate_bars(
    rates: Sequence[Rate],
    names: Names,
    *,
    style: Style,
    low_label: str = "1% low",
    findings: Sequence[Finding] = (),
) -> tuple[Picture, ...]:
    """Averages and 1% lows of every setup, test by test; one scale, and one picture or more, for each unit.

    `low_label` names the definition behind the hollow marks. The headline says what the headline `findings`
    of the tests drawn say, and the foot their reservations and which of their tests have no rate to draw.
    Raises NotEnoughRuns without any rate.
    """
    if not rates:
        raise NotEnoughRuns("no rate to draw", todo="import runs that count first")
    names, units = names.drawn(), dict.fromkeys(rate.average.unit for rate in rates)
    pictures: list[Picture] = []
    for unit in units:
        own = [rate for rate in rates if rate.average.unit == unit]
        lows = low_label if any(rate.low for rate in own) else ""
        carried = [f for f in findings if f.headline and names.unit(f.test) == unit]
        pages, limits = _pages(_by_test(own), style), _limits(own, style)
        for page in pages:
            told = _told(page, pages, carried, lows)
            pictures.append(_picture(page, told, names, style, limits))
    return tuple(pictures)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a picture says beside its bars: the findings of its tests, reservations, tests not drawn."""

    low_label: str
    findings: tuple[Finding, ...]
    reserved: tuple[str, ...]
    not_drawn: tuple[str, ...]


def _told(
    page: list[list[Rate]], pages: list[list[list[Rate]]], findings: Sequence[Finding], low_label: str
) -> Told:
    """What the findings of a page's tests say; tests that nobody draws are told of on the last page."""
    drawn = {block[0].test for each in pages for block in each}
    own = {block[0].test for block in page}
    left = tuple(dict.fromkeys(f.test for f in findings if f.test not in drawn)) if page is pages[-1] else ()
    return Told(
        low_label=low_label,
        findings=tuple(f for f in findings if f.test in own),
        reserved=on_rates([f for f in findings if f.test in own or f.test in left]),
        not_drawn=left,
    )


def _headline(blocks: list[list[Rate]], told: Told, names: Names) -> str:
    """Who is in front in these tests; without findings, how far the rates reach."""
    if told.findings:
        return fronts_headline(told.findings, names)
    rates = [rate for block in blocks for rate in block]
    setups = dict.fromkeys(rate.setup for rate in rates)
    who = f"{names.setup(rates[0].setup)}: " if len(setups) == 1 else ""
    where = names.test(blocks[0][0].test) if len(blocks) == 1 else counted(len(blocks), "test")
    least, most = (end(rates, key=lambda rate: rate.average.value) for end in (min, max))
    low, high = (span_of(rate.average).digits() for rate in (least, most))
    reach = high if low == high else f"{low} to {high}"
    return capital(f"{who}{with_unit(reach, most.average.unit)} in {where}")


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
    lows = (e.value if e.low is None else e.low for e in estimates)
    highs = (e.value if e.high is None else e.high for e in estimates)
    low, high = (min(end, LARGEST_DRAWN) for end in (min(lows), max(highs)))
    spread = (high - low) or abs(high) * 0.1 or 0.1
    step = nice_steps(spread * 1.1, 8 if style.roomy else 4)
    return low - 0.06 * spread, high + 0.06 * spread, step


def _picture(
    blocks: list[list[Rate]],
    told: Told,
    names: Names,
    style: Style,
    limits: tuple[float, float, float],
) -> Picture:
    lanes = sum(map(len, blocks))
    unit = blocks[0][0].average.unit
    pitch = 1.75 * style.text[0]
    low_label, most_foot = told.low_label, 3 if lanes <= LANES_OVER_LONG_FOOT else 2
    called = lane_names([rate for block in blocks for rate in block], names, style)
    said = _headline(blocks, told, names)
    if not headline_fits(said, style):
        called = fitting_names(lambda shorter: _headline(blocks, told, shorter), called, style)
        said = _headline(blocks, told, called)
    foot = _foot(blocks, told, names, style, most_foot)
    begun = frame(said, foot, style=style, wanted=header(style) + pitch * lanes, most_foot=most_foot)
    layout = layout_of(blocks, begun, called, (limits, low_label))
    layout = replace(layout, parted=overlapping([rate for block in blocks for rate in block], layout))
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
    title, description = f"Rates in {unit}: {tests}", f"Rates with intervals: {seen}."
    return finish(begun, drawn, title=title, description=description, names=names)


def _described(rate: Rate, names: Names, low_label: str) -> str:
    low = f", {low_label} {estimate_words(rate.low)}" if rate.low else ""
    return f"{names.test(rate.test)}, {names.setup(rate.setup)}: {estimate_words(rate.average)}{low}"


def _foot(blocks: list[list[Rate]], told: Told, names: Names, style: Style, most_foot: int) -> list[str]:
    """What the bars are, said in full where all of it fits, else shorter."""
    rates = [rate for block in blocks for rate in block]
    level, runs, low = level_words(rates[0].average.level), _runs(rates), told.low_label
    left = [f"Not drawn, as no run counts: {listed(tuple(map(names.test, told.not_drawn)))}."]
    full = f"Bars: {level} interval of {runs} each{f', hollow for the {low}' if low else ''}."
    short = f"Bars: {level}, {runs} each{f'; hollow: {low}' if low else ''}."
    for bars in (full, short):
        changed = must_say(names, bars, style)
        foot = [
            bars,
            *changed,
            *told.reserved,
            *(left if told.not_drawn else []),
            _meaning(rates, low),
            *names.terms_told,
        ]
        if foot_fits(foot, style, most_foot):
            break
    return foot


def _runs(rates: Sequence[Rate]) -> str:
    runs = sorted({rate.average.n for rate in rates})
    counts = count_word(runs[0]) if len(runs) == 1 else f"{count_word(runs[0])} to {count_word(runs[-1])}"
    return f"{counts} run{'s' if runs != [1] else ''}"


def _meaning(rates: Sequence[Rate], low_label: str) -> str:
    """What the filled bars mean, and the hollow ones where there are any."""
    return meaning(
        [*(rate.metric for rate in rates), *([LOWS.get(low_label, low_label)] if low_label else [])]
    )
