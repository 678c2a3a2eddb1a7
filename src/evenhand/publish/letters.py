"""The letters of a reviewer's own typeface as SVG paths, by fontTools; programs in the file are never run."""

from __future__ import annotations

import struct
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from io import BytesIO
from typing import Any

from fontTools.misc.transform import Scale
from fontTools.pens.areaPen import AreaPen
from fontTools.pens.basePen import BasePen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.pens.transformPen import TransformPen
from fontTools.ttLib import TTFont, TTLibError

from evenhand.errors import BadRecord

BEGINS = (b"\x00\x01\x00\x00", b"true", b"OTTO")
OTHERS = {b"wOFF": "a typeface packed for web pages", b"wOF2": "a typeface packed for web pages",
          b"ttcf": "several typefaces in one file"}  # fmt: skip
MOST_BYTES = 4_000_000
MOST_STEPS = 2_000  # of one letter, those of the letters that it is made of among them
DAMAGED = (
    TTLibError, struct.error, AssertionError, AttributeError, EOFError, IndexError, KeyError, OverflowError,
    NotImplementedError, RecursionError, TypeError, ValueError, ZeroDivisionError,
)  # fmt: skip
"""What fontTools raises on files whose tables are not what they say."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """A letter in thousandths of the type size.

    `path` is drawn from the pen on, y downward; `height` is that of its outline, `area` what it encloses.
    """

    advance: int
    path: str
    height: float
    area: float


def letters_of(data: bytes, wanted: Iterable[str]) -> Mapping[str, Letter]:
    """Those of the wanted signs that a file holds. Raises BadRecord for what is no whole typeface."""
    if len(data) > MOST_BYTES:
        raise bad(f"{len(data) / 1e6:.0f} MB are too many", f"send at most {MOST_BYTES // 1_000_000} MB")
    if data[:4] in OTHERS:
        raise bad(f"the file holds {OTHERS[data[:4]]}", "send one typeface by itself (.ttf, .otf)")
    if not data.startswith(BEGINS):
        raise bad("this is no typeface", "send a TrueType or OpenType file (.ttf, .otf)")
    try:
        return _letters(TTFont(BytesIO(data), lazy=True, recalcBBoxes=False, recalcTimestamp=False), wanted)
    except DAMAGED as error:
        raise bad("the file is damaged", "send it anew") from error


def bad(found: str, todo: str) -> BadRecord:
    """What keeps a typeface from being used."""
    return BadRecord(found, where="the typeface", todo=todo)


def _letters(font: TTFont, wanted: Iterable[str]) -> dict[str, Letter]:
    names, drawn = font.getBestCmap(), font.getGlyphSet()
    if names is None:
        raise bad("the file does not say which letter is which", "send one with a Unicode table")
    scale = 1000 / font["head"].unitsPerEm
    found = {sign: drawn[names[ord(sign)]] for sign in wanted if names.get(ord(sign)) in drawn}
    return {sign: _letter(glyph, drawn, scale) for sign, glyph in found.items()}


def _letter(glyph: Any, drawn: Any, scale: float) -> Letter:
    path, area, bounds = _FromThePen(drawn), AreaPen(drawn), BoundsPen(drawn)
    for pen in (path, area, bounds):  # the path first: it refuses what would keep the others for long
        glyph.draw(TransformPen(pen, Scale(scale)))
    low, high = (bounds.bounds[1], bounds.bounds[3]) if bounds.bounds else (0.0, 0.0)
    return Letter(
        advance=round(glyph.width * scale), path="".join(path.steps), height=high - low, area=abs(area.value)
    )


class _FromThePen(BasePen):  # type: ignore[misc]
    """Writes each step from where the last one ended: a letter stands wherever its line has come to.

    Raises ValueError past the steps that one letter may take.
    """

    def __init__(self, drawn: Any) -> None:
        super().__init__(drawn)
        self.steps: list[str] = []
        self.at = self.began = (0.0, 0.0)
        self.left = MOST_STEPS

    def addComponent(self, glyphName: str, transformation: Any) -> None:  # noqa: N802, N803
        """A letter that this one is made of."""
        self._take()
        super().addComponent(glyphName, transformation)

    def _take(self) -> None:
        self.left -= 1
        if self.left < 0:
            raise ValueError("a letter of too many steps")

    def _to(self, step: str, *points: Any) -> None:
        self._take()
        told = [f"{x - self.at[0]:.4g} {self.at[1] - y:.4g}" for x, y in points]
        self.steps.append(step + " ".join(told))
        self.at = points[-1]

    def _moveTo(self, pt: Any) -> None:  # noqa: N802
        self._to("m", pt)
        self.began = pt

    def _lineTo(self, pt: Any) -> None:  # noqa: N802
        self._to("l", pt)

    def _qCurveToOne(self, pt1: Any, pt2: Any) -> None:  # noqa: N802
        self._to("q", pt1, pt2)

    def _curveToOne(self, pt1: Any, pt2: Any, pt3: Any) -> None:  # noqa: N802
        self._to("c", pt1, pt2, pt3)

    def _closePath(self) -> None:  # noqa: N802
        self.steps.append("z")
        self.at = self.began

    def _endPath(self) -> None:  # noqa: N802
        self._closePath()
