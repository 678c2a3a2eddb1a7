"""Text as outlines, for the PNG renderer: the same letters at the same places, drawn as paths.

The renderer opens a font anew for every glyph that it sets, which takes longer than all else in a card.
Outlines and kerning come from `fonts/outlines.json`, made by `tools/make_fonts.py`. They also make a PNG
independent of the fonts of the system, save for letters that no font of ours holds.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from html import unescape
from typing import Any

from evenhand.publish.faces import FONTS, SIGNS, Face

TEXT = re.compile(r'<text x="([^"]+)" y="([^"]+)"(?: text-anchor="(\w+)")? style="([^"]*)">([^<]*)</text>')
_BEFORE = {"middle": 0.5, "end": 1.0}  # the share of a line that stands before its anchor
LONGEST_LIGATURE = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """How one face draws: advance and outline of each character and ligature, and pairs kerned."""

    glyphs: Mapping[str, tuple[int, str]]
    kern: Mapping[str, Mapping[str, int]]


def outlined(svg: str) -> str:
    """A picture's SVG with its lines of text as paths; a line with a letter we lack stays text."""
    return TEXT.sub(_line, svg)


def _line(found: re.Match[str]) -> str:
    x, y, anchor, style, text = found.groups()
    said, face, size = said_of(style)
    drawing = _drawing(face)
    glyphs = list(_pieces(unescape(text), drawing))
    if None in glyphs:
        return found.group()
    steps, pen = _steps(glyphs, drawing)
    scale = size / 1000
    if "stroke-width" in said:
        said["stroke-width"] = f"{float(said['stroke-width'].removesuffix('px')) / scale:.0f}px"
    left = float(x) - _BEFORE.get(anchor, 0.0) * pen * scale
    paint = ";".join(f"{key}:{value}" for key, value in said.items())
    return f'<path transform="translate({left:.3f} {y}) scale({scale:g})" style="{paint}" d="{steps}"/>'


def _pieces(text: str, drawing: Drawing) -> Iterator[str | None]:
    """The text as its face draws it, ligatures whole; None for a letter that it lacks."""
    at = 0
    while at < len(text):
        wanted = (text[at : at + n] for n in range(LONGEST_LIGATURE, 0, -1))
        piece = next((part for part in wanted if part in drawing.glyphs), None)
        yield piece
        at += len(piece or text[at])


def _steps(pieces: list[Any], drawing: Drawing) -> tuple[str, int]:
    """One path through all glyphs, each begun at the pen, and where the pen ends."""
    pen, last, steps = 0, "", []
    for piece in pieces:
        advance, outline = drawing.glyphs[piece]
        pen += drawing.kern.get(last, {}).get(piece[0], 0)
        if outline:
            steps.append(f"M{pen} 0{outline}")
        pen, last = pen + advance, piece
    return "".join(steps), pen


def said_of(style: str) -> tuple[dict[str, str], Face, float]:
    """What the style of a line says: its paint, its face and its size."""
    said = dict(part.split(":", 1) for part in style.split(";"))
    family, weight = said.pop("font-family").split(",")[0], int(said.pop("font-weight"))
    face = next(face for face in Face if (face.value.family, face.value.weight) == (family, weight))
    return said, face, float(said.pop("font-size").removesuffix("px"))


def house_letter(sign: str, face: Face) -> tuple[int, str] | None:
    """How a face of ours draws one sign: its advance and outline; None where it lacks it."""
    return _drawing(face).glyphs.get(sign)


@cache
def _drawing(face: Face) -> Drawing:
    cut = face.value
    own, signs = _table()[cut.file], _table()[SIGNS]
    kern = {
        first: {char: moved for chars, moved in seconds.items() for char in chars}
        for firsts, seconds in own["kern"]
        for first in firsts
    }
    return Drawing(glyphs=signs["glyphs"] | own["glyphs"], kern=kern)


@cache
def _table() -> Any:
    return json.loads((FONTS / "outlines.json").read_text(encoding="utf-8"))
