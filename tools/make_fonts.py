"""Make what the program needs to know of its fonts from the woff2 files in `publish/fonts`.

    python -m venv /tmp/fonts && /tmp/fonts/bin/pip install fonttools brotli uharfbuzz
    /tmp/fonts/bin/python tools/make_fonts.py

`widths.json` holds, for each file, the advance width of every character: what text is measured with.
`outlines.json` holds, for each face, the advance and outline of every character and ligature (an SVG
path from the pen, y downward), and how far pairs of characters are kerned: what the PNG renderer draws
text from. All lengths are thousandths of the type size.

The fonts come in two files a face, Latin and Latin Extended; the first wins where both hold a character.
Each is also unpacked as TrueType, which the report is set with; those of `ttf` outlines are held against.
"""

from __future__ import annotations

import json
import unicodedata
from io import BytesIO
from itertools import product
from pathlib import Path
from typing import Any

import uharfbuzz as hb
from fontTools.pens.basePen import BasePen
from fontTools.ttLib import TTFont

ROOT = Path(__file__).resolve().parent.parent
HERE = ROOT / "src" / "evenhand" / "publish" / "fonts"
UNPACKED, FURTHER = HERE / "ttf", HERE / "ttf-ext"
SIGNS = "evenhand-signs"
FACES = {
    "asap-latin-400-normal": ("Asap", "Regular"),
    "asap-latin-600-normal": ("Asap", "SemiBold"),
    "faustina-latin-600-normal": ("Faustina", "SemiBold"),
    SIGNS: ("Evenhand Signs", "Regular"),
}
LETTERS = {*range(0x180), *range(0x218, 0x21C), 0x1E9E}  # of the extended fonts: what European names need
LIGATURES = [*map("".join, product("f", "fijlt")), "ffi", "ffl"]


class Outline(BasePen):
    """Writes a glyph as a path of relative steps, y downward, from the pen's place on the line."""

    def __init__(self, glyphs: Any) -> None:
        super().__init__(glyphs)
        self.steps: list[str] = []
        self.at = self.start = (0.0, 0.0)
        self.mirrored: tuple[float, float] | None = None  # where a smooth curve would turn next

    def _step(self, letter: str, *points: tuple[float, float]) -> None:
        numbers = [f"{x - self.at[0]:g} {self.at[1] - y:g}" for x, y in points]
        self.steps.append(letter + " ".join(numbers).replace(" -", "-"))
        self.at, self.mirrored = points[-1], None

    def _moveTo(self, pt: tuple[float, float]) -> None:  # noqa: N802
        self._step("m", pt)
        self.start = pt

    def _lineTo(self, pt: tuple[float, float]) -> None:  # noqa: N802
        if pt[0] == self.at[0] or pt[1] == self.at[1]:
            across = pt[1] == self.at[1]
            self.steps.append(f"h{pt[0] - self.at[0]:g}" if across else f"v{self.at[1] - pt[1]:g}")
            self.at, self.mirrored = pt, None
        else:
            self._step("l", pt)

    def _qCurveToOne(self, pt1: tuple[float, float], pt2: tuple[float, float]) -> None:  # noqa: N802
        if pt1 == self.mirrored:
            self._step("t", pt2)
        else:
            self._step("q", pt1, pt2)
        self.mirrored = (2 * pt2[0] - pt1[0], 2 * pt2[1] - pt1[1])

    def _closePath(self) -> None:  # noqa: N802
        self.steps.append("z")
        self.at, self.mirrored = self.start, None


def read(name: str) -> TTFont | None:
    """One font of the folder, or None where a face has no such file."""
    path = HERE / f"{name}.woff2"
    return TTFont(path, recalcTimestamp=False) if path.exists() else None


class Shaper:
    """What the font's own rules make of a short text: glyphs and their advances."""

    def __init__(self, font: TTFont) -> None:
        plain = BytesIO()
        font.flavor = None
        font.save(plain)
        self.font = hb.Font(hb.Face(plain.getvalue()))
        self.order = font.getGlyphOrder()
        self.scale = 1000 / font["head"].unitsPerEm

    def shaped(self, text: str) -> list[tuple[str, int]]:
        """Each glyph and its advance."""
        buffer = hb.Buffer()
        buffer.add_str(text)
        buffer.guess_segment_properties()
        hb.shape(self.font, buffer)
        pairs = zip(buffer.glyph_infos, buffer.glyph_positions, strict=True)
        return [(self.order[info.codepoint], round(place.x_advance * self.scale)) for info, place in pairs]


def described(font: TTFont, codes: list[int]) -> tuple[dict[str, list[Any]], dict[str, int]]:
    """Each character's and ligature's advance and outline, and the kerning of each pair that has any."""
    shape, glyphs = Shaper(font).shaped, font.getGlyphSet()
    drawn: dict[str, list[Any]] = {}
    chars = [c for c in map(chr, codes) if not unicodedata.combining(c)]
    for text in [*chars, *LIGATURES]:
        shaped = shape(text)
        if len(shaped) == 1 and shaped[0][0] != ".notdef":
            pen = Outline(glyphs)
            glyphs[shaped[0][0]].draw(pen)
            drawn[text] = [shaped[0][1], "".join(pen.steps)]
    kern = {}
    for a, b in product([*drawn], chars):
        both, apart = shape(a + b), [*shape(a), *shape(b)]
        moved = sum(n for _, n in both) - sum(n for _, n in apart)
        if moved and [g for g, _ in both] == [g for g, _ in apart]:
            kern[a + b] = moved
    return drawn, kern


def rows(kern: dict[str, int]) -> list[list[Any]]:
    """Kerning as rows: the characters that come first, and how far each that may follow is moved."""
    by_first: dict[str, dict[str, int]] = {}
    for pair, moved in sorted(kern.items()):
        by_first.setdefault(pair[:-1], {})[pair[-1]] = moved
    alike: dict[str, list[Any]] = {}
    for first, seconds in by_first.items():
        alike.setdefault(json.dumps(seconds), [[], groups(seconds)])[0].append(first)
    return [*alike.values()]


def groups(moves: dict[str, int]) -> dict[str, int]:
    """Characters that are moved alike, told together."""
    alike: dict[int, str] = {}
    for char, moved in moves.items():
        alike[moved] = alike.get(moved, "") + char
    return {chars: moved for moved, chars in alike.items()}


def unpack(name: str, family: str, style: str) -> None:
    """Write one font as TrueType, named as the pictures ask for it."""
    font = read(name)
    if font is None:
        return
    font.flavor = None
    for number, words in {16: family, 17: style, 1: f"{family} {style}", 2: "Regular"}.items():
        font["name"].setName(words, number, 3, 1, 0x409)
    folder = FURTHER if "-ext-" in name else UNPACKED
    font.save(folder / f"{name}.ttf")


def main() -> None:
    """Describe every face and write both tables."""
    UNPACKED.mkdir(exist_ok=True)
    FURTHER.mkdir(exist_ok=True)
    widths: dict[str, dict[str, int]] = {}
    outlines: dict[str, dict[str, Any]] = {}
    for name, names in FACES.items():
        for file in dict.fromkeys((name, name.replace("-latin-", "-latin-ext-"))):
            unpack(file, names[0] if file == name else f"{names[0]} Further", names[1])
        drawn: dict[str, list[Any]] = {}
        kern: dict[str, int] = {}
        for file, wanted in ((name, None), (name.replace("-latin-", "-latin-ext-"), LETTERS)):
            font = None if file in widths else read(file)
            if font is None:
                continue
            codes = sorted(c for c in font.getBestCmap() if wanted is None or c in wanted)
            more, pairs = described(font, codes)
            kern |= {pair: moved for pair, moved in pairs.items() if not set(pair) & drawn.keys()}
            widths[file] = {c: more[c][0] for c in sorted(more) if len(c) == 1 and c not in drawn}
            drawn = more | drawn
        outlines[name] = {"glyphs": drawn, "kern": rows(kern)}
    for file, table in {"widths.json": widths, "outlines.json": outlines}.items():
        words = json.dumps(table, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
        (HERE / file).write_text(words + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
