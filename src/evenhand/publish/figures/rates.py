"""Rates with their intervals: each setup's average, and its 1% low hollow, like magnitudes on one scale.

A bar here is an interval and nothing else: it begins where the interval begins, never at zero, so its
length says how sure the number is, and not how large. A scale that leaves zero out says so at the foot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.errors import NotEnoughRuns
from evenhand.findings.finding import Finding
from evenhand.publish.figures.frame import (
    Frame,
    finish,
    fitting_names,
    foot_fits,
    frame,
    headline_fits,
    must_say,
)
from evenhand.publish.figures.rate_columns import Layout, Limits, Rate, header, lane_names, layout_of
from evenhand.publish.figures.rate_lanes import (
    better_over,
    draw_block,
    heads,
    overlapping,
    scale_lines,
    unit_words,
    widened,
)
from evenhand.publish.figures.rate_scales import limits_of, on_one_scale
from evenhand.publish.fronts import fronts_headline
from evenhand.publish.meanings import LOWS, meaning, which_is_better
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital, count_word, counted, level_words, listed, with_unit
from evenhand.publish.picture import Picture
from evenhand.publish.reservations import on_rates
from evenhand.publish.spans import estimate_words, span_of
from evenhand.publish.style import Style
from evenhand.publish.svg import Drawn

MOST_LANES_ON_CARD = 10
MOST_LANES_ON_PAGE = 80
AROUND, LANE = 480, 62  # px: what head and foot of a narrow card take, and the least of its lanes
MOST_PITCH = 4.0  # of the type size: lanes of a single test take all of a card
NARROWER = "Thinnest marks: narrower still."
MOST_FOOT = 3  # lines: what bars mean takes one and a half


def rate_bars(
    rates: Sequence[Rate],
    names: Names,
    *,
    style: Style,
    low_label: str = "1% low",
    findings: Sequence[Finding] = (),
) -> tuple[Picture, ...]:
    """Averages and 1% lows of every setup, test by test; a scale for all tests of a unit and like magnitude.

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
        scales = [
            (_pages(group, style), limits_of(flat(group), style)) for group in on_one_scale(_by_test(own))
        ]
        every = [page for pages, _ in scales for page in pages]
        for pages, limits in scales:
            pictures += [_picture(p, _told(p, every, carried, lows), names, style, limits) for p in pages]
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
    most = _most_lanes(style)
    fewest = max(1, -(-_lanes(blocks, style) // most))
    while True:
        share = -(-len(blocks) // fewest)
        pages = [blocks[i : i + share] for i in range(0, len(blocks), share)]
        if share == 1 or all(_lanes(page, style) <= most for page in pages):
            return pages
        fewest += 1


def _most_lanes(style: Style) -> int:
    if style.height is None:
        return MOST_LANES_ON_PAGE
    return int((style.height - AROUND) / LANE) if style.narrow else MOST_LANES_ON_CARD


def _lanes(blocks: Sequence[list[Rate]], style: Style) -> int:
    """How many lanes these tests take, with one for the name of each where that stands over them."""
    return sum(len(block) + style.narrow for block in blocks)


def _picture(
    blocks: list[list[Rate]],
    told: Told,
    names: Names,
    style: Style,
    limits: Limits,
) -> Picture:
    rates, low_label = flat(blocks), told.low_label
    layout = _layout(blocks, told, names, style, limits)
    tests = listed(tuple(names.test(block[0].test) for block in blocks))
    seen = "; ".join(_described(rate, names, low_label) for rate in rates)
    better = " ".join([*which_is_better(rates[0].better), ""])
    return finish(
        layout.frame, _drawn(blocks, layout, low_label), names=names,
        title=f"Rates in {rates[0].average.unit}: {tests}",
        description=f"{better}Rates with intervals: {seen}.",
    )  # fmt: skip


def _layout(blocks: list[list[Rate]], told: Told, names: Names, style: Style, limits: Limits) -> Layout:
    """Where everything stands, under a sentence and over a foot that are known to fit."""
    rates = flat(blocks)
    called = lane_names(rates, names, style)
    said = _headline(blocks, told, names)
    if not headline_fits(said, style):
        called = fitting_names(lambda shorter: _headline(blocks, told, shorter), called, style)
        said = _headline(blocks, told, called)

    def begun(more: str) -> Frame:
        foot, wanted = _foot(blocks, told, names, style, more), 1.75 * style.text[0] * _lanes(blocks, style)
        return frame(said, foot, style=style, wanted=header(style) + wanted, most_foot=MOST_FOOT)

    layout = layout_of(blocks, begun(""), called, (limits, told.low_label))
    known = begun(_of_the_scale(rates, limits, layout))  # the foot tells of the scale, once that is known
    return replace(layout, frame=known, parted=overlapping(rates, layout))


def _drawn(blocks: list[list[Rate]], layout: Layout, low_label: str) -> list[Drawn]:
    """The scale, what stands over it, and each test below the one before."""
    begun, rates, lanes = layout.frame, flat(blocks), _lanes(blocks, layout.frame.style)
    style = begun.style
    top = begun.body.top + header(style)
    room = begun.body.bottom - top
    pitch = min(room / lanes, MOST_PITCH * style.text[0])
    top += (room - pitch * lanes) / 2
    drawn = [
        *scale_lines(layout, unit_words(rates[0], style), top + pitch * lanes),
        *heads(layout, low_label),
    ]
    for block in blocks:
        drawn += draw_block(block, layout, top, pitch)
        top += pitch * _lanes([block], style)
    return drawn


def flat(blocks: Sequence[list[Rate]]) -> list[Rate]:
    """Every rate of these tests."""
    return [rate for block in blocks for rate in block]


def _of_the_scale(rates: Sequence[Rate], limits: Limits, layout: Layout) -> str:
    """What the eye would take wrongly: a scale that leaves zero out, and bars wider than their interval."""
    said = [] if limits.says_zero else ["Scale not from zero."]
    said += [NARROWER] if any(widened(rate, layout) for rate in rates) else []
    return " ".join(said)


def _described(rate: Rate, names: Names, low_label: str) -> str:
    low = f", {low_label} {estimate_words(rate.low)}" if rate.low else ""
    return f"{names.test(rate.test)}, {names.setup(rate.setup)}: {estimate_words(rate.average)}{low}"


def _foot(blocks: list[list[Rate]], told: Told, names: Names, style: Style, scale: str) -> list[str]:
    """What the bars are, said in full where all of it fits, else shorter; `scale` is said with it."""
    rates = flat(blocks)
    better = () if better_over(rates[0], style) else which_is_better(rates[0].better)
    level, runs, low = level_words(rates[0].average.level), _runs(rates), told.low_label
    forms = "Marks" if NARROWER in scale else "Bars"
    left = [f"Not drawn, as no run counts: {listed(tuple(map(names.test, told.not_drawn)))}."]
    full = f"{forms}: {level} interval of {runs} each{f', hollow for the {low}' if low else ''}."
    short = f"{forms}: {level}, {runs} each{f'; hollow: {low}' if low else ''}."
    for of_bars in (full, short):
        bars = " ".join([*better, of_bars, scale]).rstrip()
        changed = must_say(names, bars, style, most_foot=MOST_FOOT)
        foot = [
            bars,
            *changed,
            *told.reserved,
            *(left if told.not_drawn else []),
            _meaning(rates, low),
            *names.terms_told,
        ]
        if foot_fits(foot, style, MOST_FOOT):
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
