"""Pictures on upright and square cards: full size, readable on a phone, nothing cut, nothing over another."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
from tests.publish import saltmarsh as s
from tests.publish.svg_reading import texts
from tests.publish.test_extremes import WILD, renamed

from evenhand.publish.figures.intervals import interval_plot
from evenhand.publish.figures.rates import rate_bars
from evenhand.publish.figures.strips import run_strip
from evenhand.publish.palette import Theme
from evenhand.publish.style import Medium, for_medium
from evenhand.publish.svg import Box

NARROW = (Medium.TALL, Medium.SQUARE)
LEAST = {Medium.WIDE: 50, Medium.TALL: 42, Medium.SQUARE: 42}
SIZES = {Medium.WIDE: (1920, 1080), Medium.TALL: (1080, 1920), Medium.SQUARE: (1080, 1080)}


def drawn(names, medium):
    style = for_medium(medium)
    return {
        "intervals": interval_plot(s.WHOLE, names, style=style),
        "intervals, one test": interval_plot(s.comparison(s.PAIR[:1]), names, style=style),
        "rates": rate_bars(s.rates(names), names, style=style, findings=s.PAIR),
        "strip": run_strip(s.strip(), names, style=style),
    }


@pytest.fixture(
    scope="module", params=[s.NAMES, s.LONG_NAMES, renamed(**WILD)], ids=["usual", "long", "wild"]
)
def names(request):
    return request.param


@pytest.mark.parametrize("medium", NARROW)
def test_text_is_large_enough_inside_the_card_and_apart(names, medium):
    for case, pictures in drawn(names, medium).items():
        for picture in pictures:
            assert (picture.width, picture.height) == SIZES[medium]
            assert faults(picture, LEAST[medium]) == [], case


def faults(picture, least):
    """What is wrong with the texts of a picture: too small, outside, or one over another."""
    found, room = texts(picture), Box(left=60, top=0, right=picture.width - 60, bottom=picture.height)
    small = [("small", t.words.text) for t in found if t.words.size < least]
    outside = [("outside", t.words.text) for t in found if not t.box.inside(room)]
    over = [("over", a.words.text, b.words.text) for a, b in combinations(found, 2) if a.ink.meets(b.ink)]
    return [*small, *outside, *over]


def test_each_medium_is_light_or_dark_without_another_layout():
    for medium in Medium:
        light, dark = (interval_plot(s.WHOLE, s.NAMES, style=for_medium(medium, theme))[0] for theme in Theme)
        assert [t.words for t in texts(light)] == [t.words for t in texts(dark)]
        assert light.svg != dark.svg


def test_a_narrow_card_tells_every_number_of_the_setup_that_the_scale_is_of():
    # Dunlin leads Plover by 17.2 % where Plover is 14.7 % behind: one is never told under the other's name.
    words = {
        t.words.text for p in interval_plot(s.WHOLE, s.NAMES, style=for_medium(Medium.TALL)) for t in texts(p)
    }
    assert "Plover +10.7\u00a0%" in words
    assert "Plover −14.7\u00a0%" in words
    assert not any("Dunlin" in each and "%" in each for each in words)


def test_many_setups_stand_on_several_strips_on_one_scale():
    runs = [
        replace(run, setup=f"s{i}", order=j) for i in range(12) for j, run in enumerate(s.strip().runs[:5])
    ]
    strip = replace(s.strip(), runs=tuple(runs), means=())
    pictures = run_strip(strip, s.NAMES, style=for_medium(Medium.TALL))
    assert len(pictures) == 3
    scales = [{t.words.text for t in texts(p) if t.words.text.isdigit()} for p in pictures]
    assert scales[0] == scales[1] == scales[2]
    for picture in pictures:
        assert faults(picture, LEAST[Medium.TALL]) == []
    first = " ".join(t.words.text for t in texts(pictures[0]))
    assert "Part one of three." in first
