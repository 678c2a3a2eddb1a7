"""The picture of one scene laid over itself, and the places of it in words."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np
from tests.publish import saltmarsh as s

from evenhand.findings.laid_over import Axis, LaidOver, Spot
from evenhand.publish.figures.laid_over import laid_over_figure, spot_words, whole_words
from evenhand.publish.picture import embedded

PAIR = ("plover", "dunlin")


def laid(*spots: Spot, agreement: float = 0.98) -> LaidOver:
    at_s = np.arange(0, 40, 0.5)
    a, b = 6 + np.sin(at_s / 3), 6.6 + np.sin(at_s / 3)
    runs_a = np.array([a, a * 1.01])
    runs_a[0, 3] = np.nan
    return LaidOver(
        axis=Axis.TIME, bin_s=0.5, at_s=at_s, runs_a=runs_a, runs_b=np.array([b]), a_ms=a, b_ms=b,
        ratio=b / a, overall=1.1, agreement=agreement, spots=spots,
    )  # fmt: skip


def test_each_place_says_when_who_loses_and_how_they_stand_there_and_over_all() -> None:
    told = spot_words(laid(Spot(from_s=12, to_s=16.5, ratio=0.96)), PAIR, s.NAMES)
    assert [words.replace("\xa0", " ") for words in told] == [
        "12.0 to 16.5 s: Plover loses time. Plover −4.0 % there, +10.0 % over the scene."
    ]


def test_where_the_lead_grows_the_other_one_loses() -> None:
    (told,) = spot_words(laid(Spot(from_s=1, to_s=3, ratio=1.2)), PAIR, s.NAMES)
    assert "Dunlin loses time" in told


def test_without_a_place_it_says_that_and_why() -> None:
    assert whole_words(laid(), PAIR, s.NAMES).startswith("No place of a second or more in which Plover")
    assert "hardly resemble" in whole_words(laid(agreement=0.1), PAIR, s.NAMES)


def test_the_picture_holds_both_lines_the_band_and_every_place() -> None:
    picture = laid_over_figure(laid(Spot(from_s=12, to_s=16, ratio=0.96)), PAIR, s.NAMES, margin=0.03)
    for part in ('class="ln b2"', 'class="ln b3"', 'class="ln lead"', 'class="band"', 'class="spot"'):
        assert part in picture.svg
    assert picture.svg.count('class="ln thin"') == 3
    assert "style=" not in embedded(picture)
    ElementTree.fromstring(picture.svg)


def test_what_is_not_known_leaves_a_gap() -> None:
    picture = laid_over_figure(laid(), PAIR, s.NAMES, margin=0.03)
    first = picture.svg.partition('class="ln thin"')[2].partition('d="')[2].partition('"')[0]
    assert first.count("M") == 2
