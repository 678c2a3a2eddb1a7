"""Pictures of a verdict: where a lead turns, between which prices a pair is level, what flips it."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from tests.publish import saltmarsh as s

from evenhand.findings.finding import Outcome
from evenhand.money.break_even import BreakEven
from evenhand.publish.faces import Face, width
from evenhand.publish.figures.flips_drawn import FlipScene, flip_row
from evenhand.publish.figures.interval_rows import Pair
from evenhand.publish.figures.lead_by_weight import heading, lead_by_weight
from evenhand.publish.figures.lead_plot import Lead, Plot, StandsAt, doubtful, turning
from evenhand.publish.figures.worth import PerMoney, Worth, per_money, price_band
from evenhand.publish.picture import Picture
from evenhand.records.prices import Currency
from evenhand.verdicts.moves import Aspect, Flip, Lever, Move

DRELL = Currency(symbol="dl", decimals=0)
PAIR = Pair(a="plover", b="dunlin", names=s.NAMES, margin=0.03, level=0.95)
SHARES = tuple(i / 100 for i in range(101))
PERCENTS = tuple(-3.0 + 5.0 * share for share in SHARES)
LEAD = Lead(
    shares=SHARES, percent=PERCENTS,
    low=tuple(p - 0.8 for p in PERCENTS), high=tuple(p + 0.8 for p in PERCENTS),
)  # fmt: skip
STANDS = (StandsAt(name="Mostly play", share=0.8, here=True), StandsAt(name="Mostly editing", share=0.2))


def sound(picture: Picture) -> str:
    """The picture, which must be XML that says what it shows."""
    ElementTree.fromstring(picture.svg.replace("&nbsp;", " "))
    return picture.svg.replace("\u00a0", " ")


def test_the_lead_turns_where_the_line_crosses_zero() -> None:
    assert turning(LEAD) == pytest.approx(0.6)
    assert doubtful(LEAD) == (pytest.approx(0.44), pytest.approx(0.76))
    svg = sound(lead_by_weight(LEAD, PAIR, STANDS, "games"))
    assert "turns at 60 % games" in svg
    assert 'class="axis turn broad" x1="60.00%"' in svg


def test_each_side_of_the_turn_wears_the_colour_of_who_is_in_front() -> None:
    svg = sound(lead_by_weight(LEAD, PAIR, STANDS, "games"))
    assert re.findall(r'class="ln (b\d)"', svg) == ["b3", "b2"]
    assert re.findall(r'class="axis through (b\d)"', svg) == ["b3", "b2"]  # the one looked at on top


def test_a_setup_that_is_ahead_nowhere_lends_the_curve_no_colour() -> None:
    level = replace(LEAD, outcomes=(Outcome.LEVEL,) * 101)
    assert (
        re.findall(r'class="(?:ln|fan) (\w+)"', sound(lead_by_weight(level, PAIR, (), "games")))
        == ["plain"] * 4
    )
    one = replace(LEAD, outcomes=(Outcome.LEVEL,) * 90 + (Outcome.AHEAD,) * 11)
    assert re.findall(r'class="ln (\w+)"', sound(lead_by_weight(one, PAIR, (), "games"))) == ["plain", "b2"]


def test_nothing_turns_where_nobody_is_ever_ahead() -> None:
    level = replace(LEAD, outcomes=(Outcome.LEVEL,) * 101)
    assert turning(level) is None
    assert "turns at" not in sound(lead_by_weight(level, PAIR, (), "games"))


def test_a_mark_is_filled_only_where_one_is_called_ahead() -> None:
    stands = (
        StandsAt(name="Play", share=0.9, here=True, outcome=Outcome.AHEAD),
        StandsAt(name="Half", share=0.5, outcome=Outcome.LEVEL),
        StandsAt(name="Work", share=0.1, outcome=Outcome.UNSETTLED),
    )
    svg = sound(lead_by_weight(LEAD, PAIR, stands, "games"))
    marks = re.findall(r'class="(dot[^"]*)"[^>]*>(?:</\w+>)?<title>(\w+)', svg)
    assert sorted(marks) == [("dot b2", "Play"), ("dot hol", "Half"), ("dot hol uns", "Work")]


def called(*runs: tuple[Outcome, int]) -> Lead:
    """The lead with so much called, from no weight on."""
    return replace(LEAD, outcomes=tuple(outcome for outcome, many in runs for _ in range(many)))


@pytest.mark.parametrize(
    ("lead", "said"),
    [
        (
            called((Outcome.BEHIND, 30), (Outcome.LEVEL, 60), (Outcome.AHEAD, 11)),
            "The lead tips from Dunlin to Plover as more of the weight goes to games",
        ),
        (called((Outcome.UNSETTLED, 101)), "Neither is ahead, whatever the share of games"),
        (called((Outcome.LEVEL, 101)), "Plover and Dunlin are level, whatever the share of games"),
        (
            called((Outcome.LEVEL, 50), (Outcome.UNSETTLED, 51)),
            "Neither is ahead, whatever the share of games",
        ),
        (
            called((Outcome.UNSETTLED, 90), (Outcome.AHEAD, 11)),
            "Plover is ahead only from about 90\u00a0% games, Dunlin nowhere",
        ),
        (
            called((Outcome.BEHIND, 20), (Outcome.LEVEL, 81)),
            "Dunlin is ahead only up to about 19\u00a0% games, Plover nowhere",
        ),
    ],
)  # fmt: skip
def test_the_heading_names_a_lead_only_where_one_is_called(lead: Lead, said: str) -> None:
    assert heading(lead, PAIR, "games") == said


def test_both_sides_of_the_figure_tell_of_whoever_is_in_front() -> None:
    """As every sentence does: below the middle it is the other one's, and no number is below 0."""
    svg = sound(lead_by_weight(LEAD, PAIR, STANDS, "games"))
    assert "1.0 %" in svg
    assert "2.0 %" in svg
    assert "−" not in svg
    assert "With no games Dunlin is in front by 3.1 %, with nothing else Plover is in front by 2.0 %" in svg


def test_three_per_cent_are_as_far_for_the_one_as_for_the_other() -> None:
    for reach in (5.0, 60.0):
        ends = (-reach, reach)
        plot = Plot.of(Lead(shares=(0.0, 1.0), percent=ends, low=None, high=None), 0.03)
        high, low = plot.edges
        assert plot.zero - high == pytest.approx(low - plot.zero)
        assert plot.y(100 * (1.04 - 1)) - plot.zero == pytest.approx(plot.zero - plot.y(100 * (1 / 1.04 - 1)))


def test_an_odd_weight_is_told_to_its_tenth() -> None:
    stands = (StandsAt(name="Odd", share=0.625, here=True),)
    assert ">62.5 %<" in sound(lead_by_weight(LEAD, PAIR, stands, "games"))


def test_a_lead_that_never_turns_says_so() -> None:
    flat = Lead(shares=(0.0, 1.0), percent=(2.0, 4.0), low=None, high=None)
    assert turning(flat) is None
    assert heading(flat, PAIR, "games") == "Plover stays in front, whatever the share of games"
    svg = sound(lead_by_weight(flat, PAIR, (), "games"))
    assert "turns at" not in svg
    assert "fan" not in svg


def test_what_the_scale_is_stands_on_the_figure_for_the_slider() -> None:
    svg = sound(lead_by_weight(LEAD, PAIR, STANDS, "games"))
    middle, unit = (float(x) for x in re.findall(r'data-(?:zero|unit)="([\d.]+)"', svg))
    zero = float(re.findall(r'class="zero" x1="0.00%" x2="100.00%" y1="([\d.]+)"', svg)[0])
    high = float(re.findall(r'class="post" x1="0.00%" x2="100.00%" y1="([\d.]+)"', svg)[0])
    assert zero == middle
    assert high == pytest.approx(middle - math.log1p(0.03) * unit, abs=0.06)


def test_the_price_band_stands_between_its_prices_and_today_outside_it() -> None:
    worth = Worth(
        a="plover", b="dunlin", now=998, even=BreakEven(at=1026, low=1019, high=1034), currency=DRELL
    )
    picture = price_band(worth, s.NAMES)
    svg = sound(picture)
    assert "998 now" in svg
    assert "21 dl" in svg
    left, right = (float(x) for x in re.findall(r'class="post" x1="([\d.]+)%"', svg))
    now = float(re.findall(r'<svg x="([\d.]+)%"', svg)[0])
    assert now < left < right
    assert (left - now) / (right - left) == pytest.approx(21 / 15, rel=0.01)
    assert picture.description.replace("\u00a0", " ") == (
        "Worth the same at 1,026 dl, 1,019 to 1,034. At 998 dl today Plover is the better value."
    )


def test_a_band_within_which_nobody_is_shown_to_be_level_is_not_called_level() -> None:
    even = BreakEven(at=1026, low=960, high=1100)
    worth = Worth(
        a="plover", b="dunlin", now=1026, even=even, currency=DRELL, value_open=True, band_open=True
    )
    picture = price_band(worth, s.NAMES)
    assert picture.description.endswith("today they are not told apart by value.")
    assert ">level</text>" not in picture.svg
    assert ">neither</text>" in picture.svg


@pytest.mark.parametrize(("now", "named"), [(998, True), (1200, False), (700, False)])
def test_the_band_is_named_only_where_that_keeps_clear_of_both_sides(now: int, *, named: bool) -> None:
    even = BreakEven(at=1026, low=1019, high=1034)
    worth = Worth(a="plover", b="dunlin", now=now, even=even, currency=DRELL)
    assert (">level</text>" in price_band(worth, s.NAMES).svg) is named


@pytest.mark.parametrize("now", [1012, 1017, 1018, 1036, 1040])
def test_todays_price_and_how_far_it_is_stand_clear_of_the_posts(now: int) -> None:
    even = BreakEven(at=1026, low=1019, high=1034)
    svg = sound(price_band(Worth(a="plover", b="dunlin", now=now, even=even, currency=DRELL), s.NAMES))
    posts = [float(x) for x in re.findall(r'class="post" x1="([\d.]+)%"', svg)]
    said = re.findall(r'<text class="(?:mut|str halo)" x="([\d.]+)%"[^>]*>([^<]+)</text>', svg)
    told = [(float(x), words) for x, words in said]
    assert len(told) == 2
    for x, words in told:
        half = 100 * width(words, 14, Face.STRONG) / 2 / 320
        assert all(abs(x - post) > half for post in posts), words


def test_a_worth_without_a_band_draws_none() -> None:
    worth = Worth(
        a="plover", b="dunlin", now=998, even=BreakEven(at=1026, low=None, high=None), currency=DRELL
    )
    assert "band" not in sound(price_band(worth, s.NAMES))


def test_value_for_money_keeps_labels_apart_however_near_the_numbers() -> None:
    rows = [
        PerMoney(setup=setup, alone=1.3 + i / 1e4, with_more=1.0 - i / 1e4)
        for i, setup in enumerate(("wren", "plover", "dunlin"))
    ]
    svg = sound(per_money(rows, s.NAMES, more="with 250 dl more"))
    for anchor in ("end", "start"):
        ys = sorted(float(y) for y in re.findall(rf'dx="-?14" y="([\d.]+)" text-anchor="{anchor}"', svg))
        assert len(ys) == 3
        assert min(b - a for a, b in pairwise(ys)) >= 18.9


@pytest.mark.parametrize(
    "move",
    [
        Move(lever=Lever.PRICE, name="plover", size=0.02, before=998, after=1019),
        Move(lever=Lever.WEIGHT, name="games", size=0.2, before=0.8, after=0.96),
        Move(lever=Lever.MARGIN, name="", size=0.3, before=0.03, after=0.02),
        Move(lever=Lever.TITLE, name="causeway", size=0.16),
    ],
    ids=lambda move: move.lever.value,
)
def test_a_flip_stays_inside_its_row_and_says_both_numbers(move: Move) -> None:
    flip = Flip(a="plover", b="dunlin", aspect=Aspect.OUTCOME, moves=(move,), was=0, becomes=1, ratio=1.05)
    svg = sound(flip_row(flip, FlipScene(about=PAIR, ratio=1.014, currency=DRELL)))
    assert "now" in svg
    assert all(0 <= float(x) <= 100 for x in re.findall(r' x[12]?="([\d.]+)%"', svg))
    assert len(re.findall(r'class="(?:mut|str)(?: halo)?"', svg)) == 2


@pytest.mark.parametrize("wide", [300.0, 358.0, 432.0])
@pytest.mark.parametrize(
    ("now", "then"),
    [(1.014, 0.999), (1.014, 1.052), (0.985, 1.004), (1.001, 0.9985), (1.2, 1.02), (0.97, 0.9)],
)
def test_the_numbers_of_an_index_stand_clear_of_every_line_and_tell_of_the_one_in_front(
    now: float, then: float, wide: float
) -> None:
    move = Move(lever=Lever.TITLE, name="causeway", size=0.16)
    flip = Flip(a="plover", b="dunlin", aspect=Aspect.ORDER, moves=(move,), was=1, becomes=-1, ratio=then)
    svg = sound(flip_row(flip, FlipScene(about=PAIR, ratio=now, currency=DRELL)))
    assert "−" not in svg
    assert f">{100 * (max(now, 1 / now) - 1):.1f} now<" in svg
    boxes = []
    for kind, x, dx, y, anchor, said in re.findall(
        r'<text class="(mut|str)" x="([\d.]+)%"(?: dx="(-?[\d.]+)")? y="([\d.]+)" text-anchor="(\w+)">(.*?)<',
        svg,
    ):
        long = width(said, 14, Face.STRONG if kind == "str" else Face.TEXT)
        left = (
            float(x) / 100 * wide + float(dx or 0) - {"start": 0.0, "middle": 0.5, "end": 1.0}[anchor] * long
        )
        boxes.append((left, left + long, float(y)))
    (a, b, y), (c, d, z) = boxes
    assert b < c or d < a or abs(y - z) > 13
    for left, right, _ in boxes:
        assert left >= -1
        assert right <= wide + 1
        for line in re.findall(r'class="(?:post|zero)" x1="([\d.]+)%"', svg):
            assert not left < float(line) / 100 * wide < right
