"""The look's three type faces: how wide text is, and how it is made to fit.

Widths come from the advance widths of the embedded fonts (`fonts/widths.json`, made by
`tools/make_fonts.py`). Kerning is left out: it narrows text, so a measured width is seldom too small.
A face comes in two files: Latin, and Latin Extended for the letters that few names need.
"""

from __future__ import annotations

import json
import re
import unicodedata
from dataclasses import dataclass, replace
from enum import Enum
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from evenhand.publish.dates import MONTHS

FONTS = files("evenhand.publish") / "fonts"
SIGNS = "evenhand-signs"
UNKNOWN_WIDTH = 1000  # a character that no face of ours holds: allow a full em
FOREIGN = 1.25  # how much wider than ours another font may run
ELLIPSIS = "…"
_NUMBERED = re.compile(r" \d{1,4}\Z")
# An interval in brackets with what ends the sentence, a date, or any word: between these a line may end.
_PIECES = re.compile(
    r"\((?:\d+\xa0%: )?[+−]?\d[^() ]* to [+−]?\d[^() ]*\)[^ ]*"
    rf"|(?<![^ ])\d{{1,2}} (?:{'|'.join(MONTHS)}) \d{{4}}(?!\d)[^ ]*|[^ ]+"
)
STAND_IN = "?"  # for a sign that no face of ours holds


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One font file and how a style sheet asks for it."""

    file: str
    family: str
    weight: int

    @property
    def extended(self) -> Cut:
        """The file that holds this cut's further letters."""
        return replace(self, file=self.file.replace("-latin-", "-latin-ext-"))


class Face(Enum):
    """What a piece of text is for, and the cut that sets it."""

    TEXT = Cut(file="asap-latin-400-normal", family="Asap", weight=400)
    STRONG = Cut(file="asap-latin-600-normal", family="Asap", weight=600)
    SAY = Cut(file="faustina-latin-600-normal", family="Faustina", weight=600)


@cache
def _widths(file: str) -> dict[str, int]:
    table: dict[str, dict[str, int]] = _table()
    return table[SIGNS] | table[file.replace("-latin-", "-latin-ext-")] | table[file]


@cache
def _table() -> Any:
    return json.loads((FONTS / "widths.json").read_text(encoding="utf-8"))


def covered(face: Face) -> frozenset[str]:
    """Every character the face, or our own signs beside it, can draw."""
    return frozenset(_widths(face.value.file))


def lacking(text: str, face: Face = Face.TEXT) -> tuple[str, ...]:
    """The signs of the text that the face cannot draw, once each, in order; accents count with their letter.

    >>> lacking("Łódź"), lacking("Жук, ∮")
    ((), ('Ж', 'у', 'к', '∮'))
    """
    known = covered(face)
    return tuple(dict.fromkeys(c for c in unicodedata.normalize("NFC", text) if c not in known))


def drawable(text: str, face: Face = Face.TEXT) -> str:
    """The text in signs that the face holds: a plain letter for one with a foreign accent, else a stand-in.

    A box from some font of the system is never drawn.

    >>> drawable("Łódź"), drawable("Hà Nội"), drawable("Жук 2")
    ('Łódź', 'Hà Noi', '??? 2')
    """
    return spelled(text, covered(face))


def spelled(text: str, known: frozenset[str]) -> str:
    """The same, in whatever signs are `known`.

    >>> spelled("Łódź", frozenset("Lodz"))
    '?odz'
    """
    return "".join(_plain(c, known) for c in unicodedata.normalize("NFC", text))


def _plain(sign: str, known: frozenset[str]) -> str:
    if sign in known:
        return sign
    if sign.isspace():
        return " "
    if unicodedata.category(sign) in ("Cc", "Cf", "Mn", "Me"):
        return ""  # controls and loose accents have no form of their own
    letters = [c for c in unicodedata.normalize("NFKD", sign) if not unicodedata.combining(c)]
    return "".join(letters) if letters and set(letters) <= known else STAND_IN


def needs_signs(text: str) -> bool:
    """Whether the text holds a character that only our own signs can draw."""
    signs = set(_table()[SIGNS])
    return any(c in signs and c not in _table()[f.value.file] for c in set(text) for f in Face)


def needs_extended(text: str, cut: Cut) -> bool:
    """Whether the text holds a letter that only the cut's extended file can draw."""
    return not _table()[cut.extended.file].keys().isdisjoint(text)


def width(text: str, size: float, face: Face = Face.TEXT) -> float:
    """How wide the text stands, in the unit of `size`.

    A character that no face holds makes the renderer set the whole line in a font of the system, so
    such a line is allowed more room.

    >>> round(width("10.7", 100), 1)
    180.3
    """
    return _units(text, face) * size / 1000


@lru_cache(maxsize=8192)
def _units(text: str, face: Face) -> float:
    """The same in thousandths of the size: the same words are measured at many sizes."""
    widths = _widths(face.value.file)
    try:
        return sum(map(widths.__getitem__, text))
    except KeyError:
        return sum(widths.get(c, UNKNOWN_WIDTH) for c in text) * FOREIGN


def elide(text: str, room: float, size: float, face: Face = Face.TEXT) -> str:
    """The text, or as much of its beginning as fits in `room`, ending in an ellipsis.

    A number at its end stays: names of one series are told apart by it.

    >>> elide("Nine Tramlines by night", 750, 100), elide("Plover rebuilt with care 12", 750, 100)
    ('Nine Tramlines…', 'Plover rebui… 12')
    """
    if width(text, size, face) <= room:
        return text
    last = _NUMBERED.search(text)
    kept = last[0] if last and width(ELLIPSIS + last[0], size, face) < room / 2 else ""
    for end in range(len(text) - len(kept) - 1, 0, -1):
        short = text[:end].rstrip() + ELLIPSIS + kept
        if width(short, size, face) <= room:
            return short
    return ELLIPSIS


def elide_name(name: str, after: str, room: float, *, size: float, face: Face = Face.TEXT) -> str:
    """A name and the words after it, the name alone cut short where both do not fit.

    >>> elide_name("Plover rebuilt with care", " ahead", 750, size=100)
    'Plover r… ahead'
    """
    return elide(name, room - width(after, size, face), size, face) + after


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitted:
    """Text made to fit: its lines and the one size they are set in."""

    lines: tuple[str, ...]
    size: float


def wrap(text: str, room: float, size: float, face: Face = Face.TEXT) -> tuple[str, ...]:
    """The text broken at its spaces into lines no wider than `room` (a longer word stands alone).

    A no-break space holds number and unit together; an interval in brackets and a date stay on one line.

    >>> wrap("Plover ahead in four", 600, 100)
    ('Plover ahead', 'in four')
    >>> wrap("quieter by 2.9 dB (2.3 to 3.5).", 900, 100)
    ('quieter by 2.9 dB', '(2.3 to 3.5).')
    >>> wrap("prices of 24 November 2026, both", 1100, 100)
    ('prices of', '24 November 2026, both')
    """
    lines: list[str] = []
    for word in _words(text, room, size, face):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size, face) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return tuple(lines)


def _words(text: str, room: float, size: float, face: Face) -> list[str]:
    """The pieces between which a line may end: words; where a line holds them, intervals and dates."""
    held = "(" in text or any(month in text for month in MONTHS)
    pieces = _PIECES.findall(text) if held else text.split(" ")
    fitting = ([piece] if width(piece, size, face) <= room else piece.split(" ") for piece in pieces)
    return [word for words in fitting for word in words]


def balance(lines: tuple[str, ...], size: float, face: Face) -> tuple[str, ...]:
    """Two lines broken anew where they come out most alike, so that no word is left alone.

    >>> balance(("Plover in Regatta: looks capped at", "143 fps"), 10, Face.SAY)
    ('Plover in Regatta:', 'looks capped at 143 fps')
    """
    if len(lines) != 2:
        return lines
    words = _PIECES.findall(" ".join(lines))
    breaks = [(" ".join(words[:i]), " ".join(words[i:])) for i in range(1, len(words))]
    return min(breaks, key=lambda two: max(width(text, size, face) for text in two))


def fit(
    text: str, room: float, *, sizes: tuple[float, float], face: Face = Face.TEXT, lines: int = 1
) -> Fitted:
    """The text in at most `lines` lines of `room`, as large as goes between `sizes` (largest, least).

    First it wraps, then it shrinks, and only at the least size is it cut short with an ellipsis.

    >>> fit("Hollow Regatta", 500, sizes=(100, 50))
    Fitted(lines=('Hollow Regatta',), size=72)
    """
    size, least = sizes
    while True:
        broken = wrap(text, room, size, face)
        if len(broken) <= lines and all(width(line, size, face) <= room for line in broken):
            return Fitted(lines=broken, size=size)
        if size <= least:
            kept = (*broken[: lines - 1], " ".join(broken[lines - 1 :]))
            return Fitted(lines=tuple(elide(line, room, size, face) for line in kept if line), size=size)
        size = max(least, size - 1)
