"""A typeface of one's own on cards: whether it can be read there, and pictures set in it.

A card is laid out in the look's own faces. Every line is then drawn in the other typeface, at the size at
which it takes no more room, so that nothing moves. Letters become outlines; title and description stay.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from html import unescape

from evenhand.publish.faces import Face, covered, width
from evenhand.publish.letters import Letter, bad, letters_of
from evenhand.publish.outlines import TEXT, house_letter, said_of
from evenhand.publish.picture import Picture

NEEDED = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789.,:()%+-"
SAMPLES = ("Plover is ahead of Dunlin over these nine tests", "10.7 % (9.1 to 12.3)", "0123456789", "HAMBURG")
LEAST_HEIGHT = 420  # of a small x, in thousandths of the size that its lines would have in our own faces
LEAST_STEM = 45  # of a small l: thinner ones are lost where a card is 360 px wide
BOLDER = 0.03  # of the type size: what is strong is drawn with such a rim
BEFORE = {"middle": 0.5, "end": 1.0}  # the share of a line that stands before its anchor


@dataclass(frozen=True, slots=True, kw_only=True)
class Typeface:
    """A typeface: `size` is how much smaller it is set than ours. Two of the same bytes are the same."""

    digest: str
    size: float = field(compare=False)
    glyphs: Mapping[str, tuple[int, str]] = field(compare=False, repr=False)


@lru_cache(maxsize=4)
def typeface_of(data: bytes) -> Typeface:
    """A typeface from the bytes of a TrueType or OpenType file.

    Raises BadRecord where it cannot be read: lacks letters that every card needs, is too fine, or too wide
    for its small letters to be seen.
    """
    letters = letters_of(data, sorted(covered(Face.TEXT)))
    lacks = [sign for sign in NEEDED if sign not in letters or not letters[sign].path]
    if lacks:
        raise bad(f"it lacks {' '.join(lacks[:12])}", "choose one that holds Latin letters and figures")
    size = min(1.0, *(_share(sample, letters) for sample in SAMPLES))
    high, stem = size * letters["x"].height, size * letters["l"].area / letters["l"].height
    if high < LEAST_HEIGHT:
        raise bad(
            f"its small letters would stand {high / 10:.0f} % of a line high, too small for a phone",
            f"choose a narrower one, or one with larger small letters: {LEAST_HEIGHT / 10:.0f} % are needed",
        )
    if stem < LEAST_STEM:
        raise bad(
            f"its strokes would be {stem / 10:.1f} % of a line wide, too fine for a phone",
            f"choose a heavier cut: {LEAST_STEM / 10:.1f} % are needed",
        )
    glyphs = {sign: (letter.advance, letter.path) for sign, letter in letters.items()}
    return Typeface(digest=hashlib.sha256(data).hexdigest(), size=size, glyphs=glyphs)


def _share(text: str, letters: Mapping[str, Letter]) -> float:
    """How wide our own text face sets a text, of what this one takes."""
    own = sum(letters[sign].advance if sign in letters else 1000 * width(sign, 1.0) for sign in text)
    return 1000 * width(text, 1.0) / own if own else 0.0


def retyped(picture: Picture, typeface: Typeface | None) -> Picture:
    """The picture with its lines in a typeface; a line with a sign that nobody holds stays as it is."""
    if typeface is None:
        return picture
    return replace(picture, svg=TEXT.sub(lambda found: _line(found, typeface), picture.svg))


def _line(found: re.Match[str], typeface: Typeface) -> str:
    x, y, anchor, style, text = found.groups()
    said, face, size = said_of(style)
    words = unescape(text)
    glyphs = [typeface.glyphs.get(sign) or house_letter(sign, face) for sign in words]
    pen, steps = 0, []
    for glyph in glyphs:
        if glyph is None:
            return found.group()
        steps.append(f"M{pen} 0{glyph[1]}" if glyph[1] else "")
        pen += glyph[0]
    high = size * typeface.size / 1000
    across = high * min(1.0, width(words, size, face) / max(pen * high, 1e-9))
    left = float(x) - BEFORE.get(anchor, 0.0) * pen * across
    if "stroke-width" in said:
        said["stroke-width"] = f"{float(said['stroke-width'].removesuffix('px')) / high:.0f}px"
    elif face is not Face.TEXT:
        said |= {"stroke": said["fill"], "stroke-width": f"{1000 * BOLDER:.0f}px"}
    paint = ";".join(f"{key}:{value}" for key, value in said.items())
    place = f"translate({left:.3f} {y}) scale({across:.5g} {high:.5g})"
    return f'<path transform="{place}" style="{paint}" d="{"".join(steps)}"/>'
