"""What whoever publishes may bring to their cards: an accent and a mark at the foot, and a typeface.

Colours of builds stay what they are: an accent colours the small rest at the foot's rule and nothing else.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

from evenhand.errors import BadRecord
from evenhand.images.reading import read_picture
from evenhand.publish.marks import Mark
from evenhand.publish.palette import Theme, colour
from evenhand.publish.style import Style
from evenhand.publish.typeface import Typeface
from evenhand.records.publications import OWN_FORM, Form

LEAST_CONTRAST = 3.0
"""Of a sign that is no text against its ground (WCAG 2.2, success criterion 1.4.11)."""

MOST_MARK_BYTES = 200_000
LEAST_SIDE, MOST_SIDE = 64, 2000  # px: smaller ones would be blurred on a card, larger ones make files heavy
WIDEST = 4.0  # times as wide as high, or as high as wide

Rgb = tuple[float, float, float]
_HEX = re.compile(r"#[0-9a-f]{6}")


@dataclass(frozen=True, slots=True, kw_only=True)
class HouseStyle:
    """An accent ("#rrggbb", "" for none), a mark, a typeface, and how numbers and days are written."""

    accent: str = ""
    mark: Mark | None = None
    typeface: Typeface | None = None
    form: Form = OWN_FORM


def dressed(style: Style, house: HouseStyle) -> Style:
    """The measures of a card with accent and mark."""
    return replace(style, accent=house.accent, mark=house.mark)


def accent_of(written: str) -> str:
    """The accent as it is written down, if it can be seen on both grounds.

    Raises BadRecord for what is no colour, and with the nearest colour that passes for one too faint.

    >>> accent_of("#3A7CA5")
    '#3a7ca5'
    >>> accent_of("#ffd700")
    Traceback (most recent call last):
    evenhand.errors.BadRecord: the accent: #ffd700 is too faint on light ground, 1.3 : 1; take #a68c00, 3 : 1
    """
    said = written.strip().lower()
    if not _HEX.fullmatch(said):
        raise BadRecord(f"'{written}' is no colour", where="the accent", todo="write it as #rrggbb")
    faint = [(theme, contrast(said, ground(theme))) for theme in Theme]
    theme, least = min(faint, key=lambda each: each[1])
    if least < LEAST_CONTRAST:
        raise BadRecord(
            f"{said} is too faint on {theme.value} ground, {least:.1f} : 1", where="the accent",
            todo=f"take {nearest_seen(said)}, {LEAST_CONTRAST:g} : 1",
        )  # fmt: skip
    return said


def ground(theme: Theme) -> str:
    """What cards of a theme stand on."""
    return colour("paper", theme)


def contrast(one: str, other: str) -> float:
    """The contrast of two colours (WCAG 2.2): 1 to 21.

    >>> round(contrast("#000000", "#ffffff"), 1)
    21.0
    """
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def luminance(written: str) -> float:
    """Relative luminance of an sRGB colour, 0 to 1 (IEC 61966-2-1)."""
    red, green, blue = map(_linear, _rgb(written))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _rgb(written: str) -> Rgb:
    red, green, blue = (int(written[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return red, green, blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4


def nearest_seen(written: str) -> str:
    """The nearest shade of a colour that is seen on both grounds: with some black or some white in it."""
    return next(shade for shade in _shades(written) if seen(shade))


def seen(written: str) -> bool:
    """Whether a colour is seen on both grounds."""
    return all(contrast(written, ground(theme)) >= LEAST_CONTRAST for theme in Theme)


def _shades(written: str) -> Iterator[str]:
    """The colour with ever more black or white in it, the less changed first."""
    own = _rgb(written)
    for step in range(257):
        share = step / 256
        for towards in (0.0, 1.0):
            mixed = (part + (towards - part) * share for part in own)
            yield "#" + "".join(f"{round(255 * part):02x}" for part in mixed)


def mark_of(data: bytes) -> Mark:
    """A mark from the bytes of a JPEG, PNG or WebP, without all that is not its pixels.

    An SVG is refused: it may hold programs and fetch things. Raises BadRecord.
    """
    try:
        found = read_picture(data)
    except BadRecord as refused:
        raise _bad(refused.found, refused.todo) from None
    if len(found.data) > MOST_MARK_BYTES:
        size = f"{len(found.data) / 1000:.0f} kB"
        raise _bad(f"{size} are too many", f"send at most {MOST_MARK_BYTES // 1000} kB")
    sides = found.width, found.height
    if min(sides) < LEAST_SIDE or max(sides) > MOST_SIDE:
        told = f"{found.width} × {found.height} pixels"
        raise _bad(f"{told} cannot be used", f"send {LEAST_SIDE} to {MOST_SIDE} pixels a side")
    if max(sides) > WIDEST * min(sides):
        raise _bad(
            "it is too long and narrow for a foot", f"send one at most {WIDEST:g} times as long as it is wide"
        )
    return Mark(media=found.media, width=found.width, height=found.height, data=found.data)


def _bad(found: str, todo: str) -> BadRecord:
    return BadRecord(found, where="the mark", todo=todo)
