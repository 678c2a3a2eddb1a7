"""Finding rows of a page: the cards' arithmetic in per cent of a row, and words with the interval."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from tests.publish import saltmarsh as s

from evenhand.findings.finding import Outcome
from evenhand.publish.figures.interval_forms import Scale
from evenhand.publish.figures.interval_rows import Pair, Row, all_rows
from evenhand.publish.figures.rows_for_pages import (
    close_scale,
    empty_row,
    head_row,
    interval_row,
    row_words,
    scale_of,
)
from evenhand.publish.names import SetupName
from evenhand.publish.spans import Span
from evenhand.publish.style import page

ABOUT = Pair(a="plover", b="dunlin", names=s.NAMES, margin=0.03, level=0.95)
SCALE = Scale(left=0.0, right=100.0, reach=20.0)


def row(outcome: Outcome, value: float, low: float | None, high: float | None, **about: object) -> Row:
    span = Span(value=value, low=low, high=high, alone=2)
    said = {"label": "Salt Causeway", "word": "", "outcome": outcome, "span": span, **about}
    return Row(**said)  # type: ignore[arg-type]


def test_the_interval_stands_where_the_cards_would_put_it() -> None:
    svg = interval_row(row(Outcome.AHEAD, 10.7, 8.9, 12.5), ABOUT, SCALE).svg
    assert 'class="bar b2" x="72.25%" width="9.00%"' in svg
    assert '<svg x="76.75%"' in svg


def test_the_band_and_its_posts_stand_at_the_margin_in_every_row() -> None:
    for picture in (head_row(ABOUT, SCALE), interval_row(row(Outcome.LEVEL, 0.4, -0.9, 1.7), ABOUT, SCALE)):
        assert 'class="band" x="42.50%" width="15.00%"' in picture.svg
        assert re.findall(r'class="post" x1="([\d.]+)%"', picture.svg) == ["42.50", "57.50"]


def test_an_axis_of_two_leads_carries_no_sign_and_a_lead_of_nobody_no_ring() -> None:
    ticks = re.findall(r'y="48"[^>]*>([^<]*)<', head_row(ABOUT, SCALE, signed=False).svg)
    assert ticks == ["20", "10", "0", "10", "20\u00a0%"]
    nobodys = interval_row(row(Outcome.AHEAD, 6.4, 5.7, 7.1, hollow=True), ABOUT, SCALE).svg
    assert 'class="lev" r="5"' in nobodys
    assert 'class="dot hol none"' not in nobodys


@pytest.mark.parametrize(
    ("shown", "state", "interval", "slot"),
    [
        (row(Outcome.AHEAD, 10.68, 8.91, 12.47), "Plover ahead 10.7 %", "8.9 to 12.5", 2),
        (row(Outcome.BEHIND, -14.68, -16.2, -13.2), "Dunlin ahead", "Plover −14.7 % (−16.2 to −13.2)", 3),
        (row(Outcome.AHEAD, 2.0, -0.4, 4.4), "Plover ahead", "Plover +2.0 % (−0.4 to +4.4)", 2),
        (row(Outcome.LEVEL, 0.4, -1.2, 2.0), "Level", "Plover +0.4 % (−1.2 to +2.0)", None),
        (row(Outcome.UNSETTLED, 2.2, -1.2, 5.4), "Unsettled", "Plover +2.2 % (−1.2 to +5.4)", None),
        (
            row(Outcome.UNSETTLED, 9.0, None, None, word="one run"),
            "Unsettled",
            "one run: Plover +9.0 %",
            None,
        ),
        (
            row(Outcome.UNSETTLED, 2.7, -30.0, 51.0, word="−30 to +51 %", foretold=True),
            "Unsettled",
            "anywhere from −30 to +51 %",
            None,
        ),
    ],
)
def test_a_row_ends_in_words_with_its_interval(
    shown: Row, state: str, interval: str, slot: int | None
) -> None:
    words = row_words(shown, ABOUT)
    assert words.state.replace("\xa0", " ") == state
    assert words.interval.replace("\xa0", " ") == interval
    assert words.slot == slot


def test_ahead_is_filled_level_is_outlined_and_unsettled_is_grey_and_hollow() -> None:
    ahead, level, unsettled = (
        interval_row(row(outcome, 1.0, 0.5, 1.5), ABOUT, SCALE).svg
        for outcome in (Outcome.AHEAD, Outcome.LEVEL, Outcome.UNSETTLED)
    )
    assert 'class="bar b2"' in ahead
    assert 'class="bar hol"' in level
    assert 'class="lev"' in level
    assert "b2" not in level
    assert 'class="bar uns"' in unsettled
    assert "b2" not in unsettled


def test_an_unsettled_bar_that_runs_past_the_scale_ends_in_arrowheads() -> None:
    svg = interval_row(row(Outcome.UNSETTLED, 2.7, -30.0, 51.0), ABOUT, SCALE).svg
    assert 'x1="0.00%" x2="100.00%"' in svg
    assert svg.count('d="M7-6 0 0 7 6"') == 1
    assert svg.count('d="M-7-6 0 0 -7 6"') == 1


def test_a_left_out_run_is_hollow_and_crossed_in_its_own_colour() -> None:
    slot = s.NAMES.slot("dunlin")
    svg = interval_row(row(Outcome.BEHIND, -11.1, -13.9, -8.2, left_out=True, leader=slot), ABOUT, SCALE).svg
    assert 'class="dot hol b3"' in svg
    assert 'class="flag"' in svg


def test_who_cannot_see_it_is_told_what_it_shows() -> None:
    picture = interval_row(row(Outcome.AHEAD, 10.7, 8.9, 12.5), ABOUT, SCALE)
    assert picture.title.replace("\xa0", " ") == "Salt Causeway: Plover ahead 10.7 %, 8.9 to 12.5"
    assert 'role="img"' in picture.svg
    assert 'aria-hidden="true"' in head_row(ABOUT, SCALE).svg
    assert "No interval yet" in empty_row("No interval yet").svg


def test_names_are_never_taken_for_markup() -> None:
    names = replace(s.NAMES, setups={**s.NAMES.setups, "plover": SetupName(name="<b>&Plover", slot=2)})
    about = replace(ABOUT, names=names)
    for picture in (head_row(about, SCALE), interval_row(row(Outcome.AHEAD, 9.0, 8.0, 10.0), about, SCALE)):
        assert "<b>" not in picture.svg
        assert "&lt;b&gt;&amp;Plover" in picture.svg


def test_the_scale_is_that_of_the_cards_rows() -> None:
    found = [s.finding("causeway", 1.107, 0.018), s.finding("tramlines", 0.853, 0.015)]
    rows, _ = all_rows(found, s.comparison(found, []), ABOUT, page(), with_indexes=False)
    assert scale_of(rows, 0.03).reach == 20.0


def test_a_row_that_stands_alone_has_its_posts_half_way_out() -> None:
    near, far = row(Outcome.LEVEL, 0.4, -0.9, 1.7), row(Outcome.AHEAD, 12.0, 10.0, 14.0)
    assert close_scale(near, 0.03).reach == pytest.approx(6.0)
    assert close_scale(far, 0.03).x(14.0) < 100.0
