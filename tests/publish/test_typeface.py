"""A typeface of one's own: refused where it cannot be read, and nothing on a card moves."""

from __future__ import annotations

import re
import struct
from contextlib import suppress
from importlib.resources import files
from io import BytesIO

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.t2CharStringPen import T2CharStringPen

from evenhand.errors import BadRecord
from evenhand.publish import typeface
from evenhand.publish.faces import Face, width
from evenhand.publish.letters import MOST_STEPS, letters_of
from evenhand.publish.outlines import house_letter
from evenhand.publish.picture import Picture
from evenhand.publish.typeface import Typeface, retyped, typeface_of

FOLDER = files("evenhand.publish") / "fonts" / "ttf"
OWN = (FOLDER / "faustina-latin-600-normal.ttf").read_bytes()
ASAP = (FOLDER / "asap-latin-400-normal.ttf").read_bytes()
STYLE = "font-family:Asap,sans-serif;font-size:40px;font-weight:{weight};fill:#14201e"
LINE = f'<text x="10" y="50"{{anchor}} style="{STYLE}">{{text}}</text>'


@pytest.fixture(scope="module")
def own() -> Typeface:
    return typeface_of(OWN)


def line(text: str, weight: int = 400, anchor: str = "") -> Picture:
    svg = f"<svg>{LINE.format(text=text, weight=weight, anchor=anchor)}</svg>"
    return Picture(svg=svg, width=1, height=1, title="T", description="D")


def with_number(data: bytes, table: bytes, at: int, form: str, number: int) -> bytes:
    """A font file with one number in one of its tables changed."""
    (count,) = struct.unpack_from(">H", data, 4)
    rows = [struct.unpack_from(">4sLLL", data, 12 + 16 * i) for i in range(count)]
    start = next(row[2] for row in rows if row[0] == table)
    made = bytearray(data)
    struct.pack_into(form, made, start + at, number)
    return bytes(made)


def test_advances_are_those_that_our_own_table_holds_for_the_same_file() -> None:
    letters = letters_of(ASAP, "Plover 10.7")
    for sign in "Plover10.7":
        found = house_letter(sign, Face.TEXT)
        assert found is not None
        assert letters[sign].advance == pytest.approx(found[0], abs=1)


def test_no_line_takes_more_room_than_it_had(own: Typeface) -> None:
    for text in ("WWWWWW", "Plover is ahead of Dunlin", "10.7 %", "iiii"):
        svg = retyped(line(text), own).svg
        (across,) = re.findall(r"scale\(([\d.]+) ", svg)
        pen = sum(own.glyphs[sign][0] for sign in text)
        assert float(across) * pen <= width(text, 40, Face.TEXT) + 0.1


def test_letters_become_outlines_and_the_line_stands_where_it_stood(own: Typeface) -> None:
    svg = retyped(line("Plover", anchor=' text-anchor="end"'), own).svg
    assert "<text" not in svg
    (left,) = re.findall(r"translate\(([-\d.]+) 50\)", svg)
    assert float(left) < 10


def test_what_is_strong_stays_strong(own: Typeface) -> None:
    assert "stroke:" in retyped(line("Plover", weight=600), own).svg
    assert "stroke:" not in retyped(line("Plover"), own).svg


def test_a_sign_that_it_lacks_is_drawn_as_ours(own: Typeface) -> None:
    without = Typeface(digest="x", size=own.size, glyphs={k: v for k, v in own.glyphs.items() if k != "P"})
    ours = house_letter("P", Face.TEXT)
    assert ours is not None
    assert ours[1] in retyped(line("Plover"), without).svg


def test_a_line_that_nobody_can_draw_stays_text(own: Typeface) -> None:
    assert "<text" in retyped(line("\u0416"), own).svg


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"OTTO" + OWN[4:400], "damaged"),
        (b"wOF2" + OWN[4:], "web pages"),
        (b"<svg onload=x>", "no typeface"),
        (b"", "no typeface"),
        (OWN[:2000], "damaged"),
        ((FOLDER / "evenhand-signs.ttf").read_bytes(), "lacks A B C"),
        (b"true" + bytes(5_000_000), "MB are too many"),
    ],
)
def test_what_is_no_typeface_to_be_used_is_refused_in_words(data: bytes, said: str) -> None:
    with pytest.raises(BadRecord, match=said) as refused:
        typeface_of(data)
    assert refused.value.todo


def test_one_whose_letters_would_be_too_small_to_read_is_refused() -> None:
    """Every advance as wide as can be: its lines only fit at a size at which nothing is read."""
    wide = with_number(OWN, b"hhea", 34, ">H", 1)
    wide = with_number(wide, b"hmtx", 0, ">H", 1600)
    with pytest.raises(BadRecord, match="too small for a phone"):
        typeface_of(wide)


def test_one_that_is_drawn_small_on_its_body_is_refused() -> None:
    with pytest.raises(BadRecord, match="too small for a phone"):
        typeface_of(with_number(OWN, b"head", 18, ">H", 3000))


def test_one_whose_strokes_are_too_fine_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(typeface, "LEAST_STEM", 500)
    with pytest.raises(BadRecord, match=r"strokes would be \d+\.\d % of a line wide, too fine"):
        typeface_of(ASAP + b"another file")


def postscript(steps: int = 3) -> bytes:
    """An OpenType file with PostScript outlines that holds an A of so many lines, 500 wide."""
    pen = T2CharStringPen(600, None)
    pen.moveTo((0, 0))
    for step in range(steps - 2):
        pen.lineTo((500 - 7 * (step % 2), step))
    pen.lineTo((500, 500))
    pen.closePath()
    build = FontBuilder(1000, isTTF=False)
    build.setupGlyphOrder([".notdef", "A"])
    build.setupCharacterMap({ord("A"): "A"})
    drawn = {".notdef": T2CharStringPen(600, None).getCharString(), "A": pen.getCharString()}
    build.setupCFF("own", {}, drawn, {})
    build.setupHorizontalMetrics({".notdef": (600, 0), "A": (600, 0)})
    build.setupHorizontalHeader(ascent=800, descent=-200)
    build.setupOS2()
    build.setupPost()
    made = BytesIO()
    build.save(made)
    return made.getvalue()


def test_postscript_outlines_are_read_as_well() -> None:
    letter = letters_of(postscript(), "A")["A"]
    assert (letter.advance, letter.height, letter.area) == (600, 500, 125_000)
    assert letter.path == "m0 0l500 0l0 -500z"


def test_a_letter_of_too_many_steps_is_refused() -> None:
    with pytest.raises(BadRecord, match="damaged"):
        letters_of(postscript(MOST_STEPS + 10), "A")


def test_broken_files_end_in_words_and_never_otherwise() -> None:
    for at in range(0, len(ASAP), 1997):
        broken = ASAP[:at] + bytes([ASAP[at] ^ 0xFF]) + ASAP[at + 1 :]
        with suppress(BadRecord):
            typeface_of(broken)
