"""What holds of every picture, whatever it shows."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import SVG, colours, root_of, texts

from evenhand.publish.faces import covered
from evenhand.publish.figures.intervals import interval_plot
from evenhand.publish.figures.rates import rate_bars
from evenhand.publish.figures.strips import run_strip
from evenhand.publish.figures.traces import frame_time_trace
from evenhand.publish.palette import TOKENS, Theme, colour
from evenhand.publish.style import card, page
from evenhand.publish.svg import Box

STYLES = ("card, light", "card, dark", "page")
CARDS = STYLES[:2]


def pictures(all_pictures, style):
    return [(case, p) for case, drawn in all_pictures[style].items() for p in drawn]


@pytest.mark.parametrize("style", STYLES)
def test_is_well_formed_and_says_what_it_shows_and_what_is_seen(all_pictures, style):
    for case, picture in pictures(all_pictures, style):
        root = root_of(picture)
        title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
        assert title is not None, case
        assert desc is not None, case
        assert title.text == picture.title
        assert desc.text == picture.description
        assert len(picture.title) > 10
        assert len(picture.description) > 20
        assert root.attrib["aria-labelledby"] == f"{title.attrib['id']} {desc.attrib['id']}"


@pytest.mark.parametrize("style", CARDS)
def test_cards_are_full_size_and_nothing_on_them_is_set_under_50_px(all_pictures, style):
    for case, picture in pictures(all_pictures, style):
        assert (picture.width, picture.height) == (1920, 1080), case
        assert min(text.words.size for text in texts(picture)) >= 50, case


def test_nothing_on_a_page_is_set_under_13_px(all_pictures):
    for case, picture in pictures(all_pictures, "page"):
        assert min(text.words.size for text in texts(picture)) >= 13, case


@pytest.mark.parametrize("style", STYLES)
def test_text_stays_within_the_picture(all_pictures, style):
    margin = 90 if style in CARDS else 6
    for case, picture in pictures(all_pictures, style):
        room = Box(left=margin, top=0, right=picture.width - margin, bottom=picture.height)
        outside = [text.words.text for text in texts(picture) if not text.box.inside(room)]
        assert not outside, (case, outside)


ROOM = replace(s.NAMES, terms="room 22.9 to 26 °C")


@pytest.mark.parametrize("drawn", [
    lambda: interval_plot(s.comparison(s.PAIR[:1]), ROOM, style=card()),
    lambda: rate_bars([r for r in s.rates(ROOM) if r.test == "load"], ROOM, style=card()),
    lambda: run_strip(replace(s.strip(), runs=s.strip().runs[:3]), ROOM, style=card()),
    lambda: frame_time_trace(s.scene(), ROOM, style=page()),
])  # fmt: skip
def test_conditions_at_the_foot_begin_with_a_capital(drawn):
    told = " ".join(text.words.text for text in texts(drawn()[0]))
    assert "Room 22.9 to 26 °C." in told.replace("\u00a0", " ")


@pytest.mark.parametrize("style", STYLES)
def test_no_two_texts_touch(all_pictures, style):
    for case, picture in pictures(all_pictures, style):
        meeting = [
            (one.words.text, other.words.text)
            for one, other in combinations(texts(picture), 2)
            if one.ink.meets(other.ink)
        ]
        assert not meeting, (case, meeting)


@pytest.mark.parametrize("style", STYLES)
def test_every_character_is_in_the_embedded_fonts(all_pictures, style):
    for case, picture in pictures(all_pictures, style):
        for text in texts(picture):
            assert set(text.words.text) <= covered(text.words.face), (case, text.words.text)


@pytest.mark.parametrize(("style", "theme", "other"), [
    ("card, light", Theme.LIGHT, Theme.DARK), ("card, dark", Theme.DARK, Theme.LIGHT),
])  # fmt: skip
def test_a_card_holds_the_colours_of_its_theme_and_no_others(all_pictures, style, theme, other):
    own = {colour(token, theme) for token in TOKENS}
    foreign = {colour(token, other) for token in TOKENS} - own
    for case, picture in pictures(all_pictures, style):
        assert colours(picture) <= own, case
        assert not colours(picture) & foreign, case
        assert "var(" not in picture.svg, case


def test_a_page_leaves_every_colour_to_its_style_sheet(all_pictures):
    for case, picture in pictures(all_pictures, "page"):
        assert not colours(picture), case
        assert "var(--ink)" in picture.svg, case


@pytest.mark.parametrize("style", STYLES)
def test_text_never_takes_a_builds_colour(all_pictures, style):
    theme = Theme.DARK if style == "card, dark" else Theme.LIGHT
    builds = {f"var(--b{i})" for i in range(1, 6)} | {colour(f"b{i}", theme) for i in range(1, 6)}
    for case, picture in pictures(all_pictures, style):
        assert not builds & {text.fill for text in texts(picture)}, case


@pytest.mark.parametrize("style", STYLES)
def test_even_a_long_trace_stays_small(all_pictures, style):
    for case, picture in pictures(all_pictures, style):
        assert len(picture.svg) < 100_000, case


def test_light_and_dark_differ_in_colour_alone(all_pictures):
    for case, drawn in all_pictures["card, light"].items():
        for light, dark in zip(drawn, all_pictures["card, dark"][case], strict=True):
            places = [[(t.words.x, t.words.y, t.words.text) for t in texts(p)] for p in (light, dark)]
            assert places[0] == places[1]
