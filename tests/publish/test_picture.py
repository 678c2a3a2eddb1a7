from __future__ import annotations

import struct
import zlib
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from tests.publish import saltmarsh as s

from evenhand.publish.faces import Face, width
from evenhand.publish.figures.intervals import interval_plot
from evenhand.publish.palette import Theme, colour
from evenhand.publish.picture import Picture, standalone, to_png
from evenhand.publish.style import card, page
from evenhand.publish.svg import Box, Words, document, rect

CARD = interval_plot(s.WHOLE, s.NAMES, style=card())[0]
PAGE = interval_plot(s.WHOLE, s.NAMES, style=page())[0]


def pixels(png: bytes) -> np.ndarray:
    """A PNG of 8-bit RGBA as an array of shape (height, width, 4)."""
    assert png[:8] == b"\x89PNG\r\n\x1a\n"
    wide, high, depth, kind = struct.unpack(">IIBB", png[16:26])
    assert (depth, kind) == (8, 6)
    at, packed = 8, b""
    while at < len(png):
        length, name = struct.unpack(">I4s", png[at : at + 8])
        packed += png[at + 8 : at + 8 + length] if name == b"IDAT" else b""
        at += 12 + length
    rows = np.frombuffer(zlib.decompress(packed), np.uint8).reshape(high, 1 + 4 * wide)
    return np.stack(_unfiltered(rows)).reshape(high, wide, 4)


def _unfiltered(rows: np.ndarray) -> list[np.ndarray]:
    above = np.zeros(rows.shape[1] - 1, np.uint8)
    out = []
    for row in rows:
        raw = row[1:].copy()
        if row[0] == 1:
            raw = np.cumsum(raw.reshape(-1, 4), axis=0, dtype=np.uint8).reshape(-1)
        elif row[0] == 2:
            raw = raw + above
        else:
            assert row[0] == 0
        above = raw
        out.append(raw)
    return out


def test_a_card_becomes_a_png_of_exactly_1920_by_1080_on_its_own_ground():
    image = pixels(to_png(CARD))
    assert image.shape == (1080, 1920, 4)
    assert "#" + bytes(image[2, 2, :3]).hex() == colour("paper", Theme.LIGHT)
    assert (image[..., 3] == 255).all()


@pytest.mark.parametrize("theme", list(Theme))
def test_a_page_picture_takes_the_theme_it_is_given_as_png(theme):
    image = pixels(to_png(PAGE, theme))
    assert image.shape == (PAGE.height, PAGE.width, 4)
    assert "#" + bytes(image[2, 2, :3]).hex() == colour("paper", theme)


@pytest.mark.parametrize("picture", [CARD, PAGE])
def test_a_standalone_file_holds_its_fonts_and_the_inline_one_none(picture):
    alone = standalone(picture)
    assert "base64" not in picture.svg
    assert alone.count("@font-face") == 3
    assert ElementTree.fromstring(alone).attrib["width"] == str(picture.width)


def test_a_standalone_page_picture_defines_every_colour_for_light_and_dark():
    alone = standalone(PAGE)
    assert f"--ink:{colour('ink', Theme.LIGHT)}" in alone
    assert "prefers-color-scheme:dark" in alone
    assert "prefers-color-scheme" not in standalone(CARD)


def test_a_sign_that_only_our_own_font_has_brings_that_font_along():
    words = [Words(x=10, y=60, text="at most ≤ 3", size=50)]
    picture = Picture(
        svg=document(words, (400, 80), ("A", "B"), None), width=400, height=80, title="A", description="B"
    )
    assert "Evenhand Signs';font-weight" in standalone(picture)


def test_letters_beyond_latin_bring_their_own_font_file_and_only_they_do():
    words = [Words(x=10, y=60, text="Łódź", size=50)]
    picture = Picture(
        svg=document(words, (400, 80), ("A", "B"), None), width=400, height=80, title="A", description="B"
    )
    assert standalone(picture).count("@font-face") == 2
    assert standalone(replace(picture, svg=picture.svg.replace("Łódź", "Lodz"))).count("@font-face") == 1


@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("text", [
    "Plover ahead in four, Dunlin in three, two level", "Salt Causeway", "−14.7\u00a0% (−16.2 to −13.2)",
    "WAVE TAXI Type", "fifty fjords, office", "illegal till filling", "1,014 dl; 143.9 fps", "Ál Œuvre ß â",
    "Žlutý vůz", "Žižka", "Łódź",
])  # fmt: skip
def test_rendered_text_is_no_wider_than_the_width_table_says(face, text):
    ink, measured = rendered_width(text, face), width(text, 60, face)
    assert 0.93 * measured - 4 <= ink <= 1.01 * measured + 1


@pytest.mark.parametrize("face", list(Face))
@pytest.mark.parametrize("text", ["Жёлтый", "Ωμέγα", "Hollow Regatta Ж"])
def test_text_that_a_font_of_the_system_must_set_still_fits_what_was_measured(face, text):
    assert rendered_width(text, face) <= width(text, 60, face)


def rendered_width(text: str, face: Face) -> float:
    """How far the renderer's own ink reaches, at 60 px."""
    drawn = [
        rect(Box(left=0, top=0, right=1900, bottom=100), fill="paper"),
        Words(x=20, y=70, text=text, size=60, face=face),
    ]
    svg = document(drawn, (1900, 100), ("T", "D"), Theme.LIGHT)
    image = pixels(to_png(Picture(svg=svg, width=1900, height=100, title="T", description="D")))
    inked = np.flatnonzero((image[..., :3] < 128).all(axis=2).any(axis=0))
    return float(inked[-1] - 20) if inked.size else 0.0
