"""An accent and a mark of one's own: what is taken, what is refused with what to do, where they go."""

from __future__ import annotations

import struct
import zlib

import numpy as np
import pytest
from tests.images.drawn import CLEAR_WEBP, JPEG
from tests.publish import saltmarsh as s
from tests.publish.card_samples import all_cards
from tests.publish.svg_reading import colours, root_of, texts
from tests.publish.test_media import LEAST, faults
from tests.publish.test_picture import pixels

from evenhand.errors import BadRecord
from evenhand.publish.house_style import (
    LEAST_CONTRAST,
    HouseStyle,
    accent_of,
    contrast,
    dressed,
    ground,
    mark_of,
    nearest_seen,
)
from evenhand.publish.palette import Theme, colour
from evenhand.publish.picture import to_png
from evenhand.publish.style import Medium, for_medium
from evenhand.publish.svg import Box

SECRET = b"taken at home"


def png(wide: int, high: int) -> bytes:
    """A red picture with a note in it."""
    rows = np.full((high, wide, 3), (200, 30, 30), np.uint8).reshape(high, -1)
    raw = np.hstack([np.zeros((high, 1), np.uint8), rows]).tobytes()

    def part(name: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))

    head = part(b"IHDR", struct.pack(">IIBBBBB", wide, high, 8, 2, 0, 0, 0))
    note = part(b"tEXt", b"Comment\0" + SECRET)
    return b"\x89PNG\r\n\x1a\n" + head + note + part(b"IDAT", zlib.compress(raw)) + part(b"IEND", b"")


HOUSE = HouseStyle(accent="#3a7ca5", mark=mark_of(png(320, 200)))


@pytest.mark.parametrize("written", ["#ffd700", "#ffffff", "#000000", "#0000ff", "#14201e"])
def test_an_accent_that_is_too_faint_is_refused_with_one_that_passes(written):
    with pytest.raises(BadRecord) as refused:
        accent_of(written)
    offered = nearest_seen(written)
    assert offered in str(refused.value)
    assert accent_of(offered) == offered
    assert all(contrast(offered, ground(theme)) >= LEAST_CONTRAST for theme in Theme)


@pytest.mark.parametrize("written", ["red", "#12345", "url(x)", "#3a7ca5;fill:red", ""])
def test_what_is_no_colour_is_refused(written):
    with pytest.raises(BadRecord, match="is no colour"):
        accent_of(written)


@pytest.mark.parametrize("medium", Medium)
@pytest.mark.parametrize("theme", Theme)
def test_the_accent_is_at_the_foot_alone_and_builds_keep_their_colours(medium, theme):
    style = for_medium(medium, theme)
    accented = all_cards(s.NAMES, dressed(style, HouseStyle(accent="#3a7ca5")))
    for case, plain in all_cards(s.NAMES, style).items():
        for bare, own in zip(plain, accented[case], strict=True):
            lines = [e.attrib for e in root_of(own) if e.attrib.get("stroke") == "#3a7ca5"]
            assert len(lines) == 3, "the rest"
            assert bare.svg.count('stroke="' + colour("ink", theme)) >= 3
            builds = {colour(f"b{i}", theme) for i in range(1, 6)}
            assert colours(own) & builds == colours(bare) & builds, case


def test_a_mark_goes_without_its_notes_and_svg_is_refused():
    mark = mark_of(png(320, 200))
    assert SECRET not in mark.data
    with pytest.raises(BadRecord, match="the mark: this is no picture"):
        mark_of(b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>")


@pytest.mark.parametrize(("data", "why"), [
    (JPEG, "24 × 16 pixels"), (CLEAR_WEBP, "cannot be used"), (png(2400, 100), "2400 × 100"),
    (png(600, 100), "too long and narrow"), (b"", "empty"), (png(320, 200)[:200], "damaged"),
])  # fmt: skip
def test_a_mark_that_cannot_be_used_is_refused_with_what_to_send(data, why):
    with pytest.raises(BadRecord) as refused:
        mark_of(data)
    assert why in str(refused.value)
    assert refused.value.todo


@pytest.mark.parametrize("medium", Medium)
def test_no_text_stands_over_the_mark(medium):
    style = dressed(for_medium(medium), HOUSE)
    for case, pictures in all_cards(s.LONG_NAMES, style).items():
        for picture in pictures:
            (element,) = [e for e in root_of(picture) if e.tag.endswith("image")]
            x, y, wide, high = (float(element.attrib[k]) for k in ("x", "y", "width", "height"))
            box = Box(left=x, top=y, right=x + wide, bottom=y + high)
            assert not [t.words.text for t in texts(picture) if t.box.meets(box)], case
            assert box.inside(Box(left=0, top=0, right=picture.width, bottom=picture.height)), case
            assert faults(picture, LEAST[medium]) == [], case


def test_the_mark_is_painted_into_the_png():
    style = dressed(for_medium(Medium.SQUARE), HOUSE)
    image = pixels(to_png(all_cards(s.NAMES, style)["flips"][0]))
    assert (np.abs(image[..., :3].astype(int) - (200, 30, 30)).max(axis=2) < 4).sum() > 1000
