"""Outlines are held against the renderer's own setting of the same fonts."""

from __future__ import annotations

import numpy as np
import pytest
import vl_convert
from tests.publish.test_picture import pixels

from evenhand.publish.faces import FONTS, Face, covered
from evenhand.publish.outlines import outlined
from evenhand.publish.palette import Theme
from evenhand.publish.svg import Box, Drawn, Words, document, rect

UNPACKED = FONTS / "ttf"
TEXTS = (
    "Plover ahead in four, Dunlin in three, two level", "WAVE TAXI Type AV To Ye", "fifty fjords, office ffl",
    "−14.7\u00a0% (−16.2 to −13.2)", "Ál Œuvre ß â & <here>", "1,014 dl; “143.9” fps",
)  # fmt: skip


def svg_of(words: Words) -> str:
    ground: Drawn = rect(Box(left=0, top=0, right=1900, bottom=100), fill="paper")
    return document([ground, words], (1900, 100), ("T", "D"), Theme.LIGHT)


def drawn(svg: str) -> np.ndarray:
    return pixels(vl_convert.svg_to_png(svg, scale=1.0, ppi=72))[..., :3].astype(int)


@pytest.fixture(scope="module", autouse=True)
def _fonts() -> None:
    vl_convert.register_font_directory(str(UNPACKED))


@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("text", TEXTS)
def test_text_drawn_from_outlines_looks_as_the_font_itself_sets_it(face, text):
    svg = svg_of(Words(x=20, y=70, text=text, size=53, face=face))
    assert "<text" not in outlined(svg)
    real, ours = drawn(svg), drawn(outlined(svg))
    assert (real < 128).any()
    # Edges differ by rounding alone: by less than a quarter of the way from ground to ink.
    assert np.abs(real - ours).max() < 64


@pytest.mark.parametrize("anchor", ["start", "middle", "end"])
@pytest.mark.parametrize("halo", ["", "paper"])
def test_anchors_and_halos_are_kept(anchor, halo):
    svg = svg_of(Words(x=900, y=70, text="Type 143.9", size=60, anchor=anchor, halo=halo))
    assert np.abs(drawn(svg) - drawn(outlined(svg))).max() < 64


def test_other_outlines_would_be_noticed():
    one, other = (svg_of(Words(x=20, y=70, text=text, size=53)) for text in ("Plover", "Plower"))
    assert np.abs(drawn(one) - drawn(outlined(other))).max() > 100


@pytest.mark.parametrize("face", list(Face))
def test_every_character_that_has_a_width_has_an_outline(face):
    text = "".join(sorted(covered(face) - {"\u00ad"}))
    assert "<text" not in outlined(svg_of(Words(x=20, y=70, text=text, size=53, face=face)))


def test_a_line_with_a_letter_that_no_font_of_ours_holds_stays_text():
    svg = svg_of(Words(x=20, y=70, text="Жаворонок", size=53))
    assert outlined(svg) == svg


@pytest.mark.parametrize("text", ["Žižka", "Łódź", "Timișoara", "Győr", "Çeşme"])
def test_letters_of_european_names_are_drawn_from_our_own_outlines(text):
    svg = svg_of(Words(x=20, y=70, text=text, size=53))
    assert "<text" not in outlined(svg)
    assert (drawn(outlined(svg)) < 128).any()


def test_nothing_but_text_is_touched():
    ground = document([rect(Box(left=0, top=0, right=9, bottom=9), fill="ink")], (9, 9), ("T", "D"), None)
    assert outlined(ground) == ground
