"""The letters of a TrueType file as paths (OpenType 1.9: cmap, glyf, head, hhea, hmtx, loca, maxp).

Only outlines and advances are read, of the signs that are asked for; programs in the file are never run.
"""

from __future__ import annotations

import struct
from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from evenhand.errors import BadRecord

BEGINS = (b"\x00\x01\x00\x00", b"true")
OTHERS = {b"OTTO": "PostScript outlines", b"wOFF": "packed for web pages", b"wOF2": "packed for web pages",
          b"ttcf": "several typefaces in one file"}  # fmt: skip
MOST_BYTES = 4_000_000
MOST_POINTS = 2_000  # of one letter
DEEPEST = 5  # letters made of letters

Point = tuple[float, float, bool]  # x, y upward, and whether the outline passes through it
Contour = list[Point]


@dataclass(frozen=True, slots=True, kw_only=True)
class Letter:
    """A letter in thousandths of the type size: its advance, and its contours with y upward."""

    advance: int
    contours: tuple[tuple[Point, ...], ...]


def letters_of(data: bytes, wanted: Iterable[str]) -> Mapping[str, Letter]:
    """Those of the wanted signs that a file holds. Raises BadRecord for what is no whole TrueType file."""
    if len(data) > MOST_BYTES:
        raise bad(f"{len(data) / 1e6:.0f} MB are too many", f"send at most {MOST_BYTES // 1_000_000} MB")
    if data[:4] in OTHERS:
        raise bad(f"the file holds {OTHERS[data[:4]]}", "send one typeface as TrueType (.ttf)")
    if not data.startswith(BEGINS):
        raise bad("this is no typeface", "send one as TrueType (.ttf)")
    try:
        font = _Font(data)
        return {sign: font.letter(glyph) for sign, glyph in font.glyphs(wanted)}
    except (struct.error, IndexError, KeyError, ZeroDivisionError, RecursionError) as error:
        raise bad("the file is damaged", "send it anew") from error


def bad(found: str, todo: str) -> BadRecord:
    """What keeps a typeface from being used."""
    return BadRecord(found, where="the typeface", todo=todo)


class _Font:
    """The tables of a file, read where they are needed."""

    def __init__(self, data: bytes) -> None:
        self.data = data
        (count,) = struct.unpack_from(">H", data, 4)
        rows = (struct.unpack_from(">4sLLL", data, 12 + 16 * i) for i in range(count))
        self.at = {tag: (start, length) for tag, _, start, length in rows}
        (self.em,) = self.read("head", ">H", 18)
        (self.long,) = self.read("head", ">h", 50)
        (self.count,) = self.read("maxp", ">H", 4)
        (self.wide,) = self.read("hhea", ">H", 34)
        self.scale = 1000 / self.em

    def read(self, table: str, form: str, at: int = 0) -> tuple[int, ...]:
        """Numbers in a table. Raises struct.error beyond its end."""
        start, length = self.at[table.encode()]
        if at < 0 or at + struct.calcsize(form) > length:
            raise struct.error
        return struct.unpack_from(form, self.data, start + at)

    def glyphs(self, wanted: Iterable[str]) -> Iterator[tuple[str, int]]:
        """The number of the glyph for each sign that there is one for."""
        find = self._finder()
        for sign in wanted:
            glyph = find(ord(sign))
            if 0 < glyph < self.count:
                yield sign, glyph

    def _finder(self) -> Callable[[int], int]:
        (count,) = self.read("cmap", ">H", 2)
        for i in range(count):
            platform, encoding, at = self.read("cmap", ">HHL", 4 + 8 * i)
            if (platform, encoding) in ((3, 1), (3, 10), (0, 3), (0, 4)):
                (form,) = self.read("cmap", ">H", at)
                if form == 4:
                    return _Segments(self, at).find
        raise bad("the file does not say which letter is which", "send one with a Unicode table")

    def letter(self, glyph: int) -> Letter:
        """One letter, in thousandths of the type size."""
        (advance,) = self.read("hmtx", ">H", 4 * min(glyph, self.wide - 1))
        contours = (
            tuple((x * self.scale, y * self.scale, on) for x, y, on in contour)
            for contour in self._contours(glyph, DEEPEST)
        )
        return Letter(advance=round(advance * self.scale), contours=tuple(contours))

    def _contours(self, glyph: int, deep: int) -> list[Contour]:
        size, form = (4, ">LL") if self.long else (2, ">HH")
        begins, ends = self.read("loca", form, size * glyph)
        at, end = (begins, ends) if self.long else (2 * begins, 2 * ends)
        if at >= end:
            return []
        (count,) = self.read("glyf", ">h", at)
        if count >= 0:
            return self._simple(at + 10, count)
        return self._composed(at + 10, deep) if deep else []

    def _simple(self, at: int, count: int) -> list[Contour]:
        ends = self.read("glyf", f">{count}H", at)
        points = ends[-1] + 1 if ends else 0
        if points > MOST_POINTS:
            raise struct.error
        at += 2 * count
        (programs,) = self.read("glyf", ">H", at)
        flags, at = self._flags(at + 2 + programs, points)
        xs, at = self._steps(flags, at, short=0x02, same=0x10)
        ys, at = self._steps(flags, at, short=0x04, same=0x20)
        every: Contour = [(x, y, bool(flag & 1)) for x, y, flag in zip(xs, ys, flags, strict=True)]
        return [every[first:last] for first, last in pairwise([0, *(end + 1 for end in ends)])]

    def _flags(self, at: int, points: int) -> tuple[list[int], int]:
        flags: list[int] = []
        while len(flags) < points:
            (flag,) = self.read("glyf", ">B", at)
            at += 1
            again = 0
            if flag & 0x08:
                (again,) = self.read("glyf", ">B", at)
                at += 1
            flags += [flag] * (again + 1)
        return flags[:points], at

    def _steps(self, flags: list[int], at: int, *, short: int, same: int) -> tuple[list[int], int]:
        """One coordinate of every point, each told as a step from the last."""
        found, here = [], 0
        for flag in flags:
            if flag & short:
                (step,) = self.read("glyf", ">B", at)
                here += step if flag & same else -step
                at += 1
            elif not flag & same:
                (step,) = self.read("glyf", ">h", at)
                here += step
                at += 2
            found.append(here)
        return found, at

    def _composed(self, at: int, deep: int) -> list[Contour]:
        """A letter made of others, each moved and scaled."""
        made: list[Contour] = []
        more = True
        while more:
            flags, glyph = self.read("glyf", ">HH", at)
            dx, dy = self.read("glyf", ">hh" if flags & 0x01 else ">bb", at + 4)
            at += 8 if flags & 0x01 else 6
            (a, b, c, d), at = self._turn(flags, at)
            dx, dy = (dx, dy) if flags & 0x02 else (0, 0)
            made += [
                [(a * x + c * y + dx, b * x + d * y + dy, on) for x, y, on in contour]
                for contour in self._contours(glyph, deep - 1)
            ]
            more = bool(flags & 0x20)
            if sum(map(len, made)) > MOST_POINTS:
                raise struct.error
        return made

    def _turn(self, flags: int, at: int) -> tuple[tuple[float, float, float, float], int]:
        """How a part is scaled and turned, as a 2 by 2 matrix in rows of what becomes of x and of y."""
        if flags & 0x08:
            (one,) = self.read("glyf", ">h", at)
            return (one / 16384, 0.0, 0.0, one / 16384), at + 2
        if flags & 0x40:
            one, other = self.read("glyf", ">hh", at)
            return (one / 16384, 0.0, 0.0, other / 16384), at + 4
        if flags & 0x80:
            a, b, c, d = self.read("glyf", ">hhhh", at)
            return (a / 16384, b / 16384, c / 16384, d / 16384), at + 8
        return (1.0, 0.0, 0.0, 1.0), at


class _Segments:
    """Which glyph a sign has, by a table of segments (cmap, format 4)."""

    def __init__(self, font: _Font, at: int) -> None:
        self.font = font
        (twice,) = font.read("cmap", ">H", at + 6)
        n, form = twice // 2, f">{twice // 2}H"
        self.ends = font.read("cmap", form, at + 14)
        self.starts = font.read("cmap", form, at + 16 + twice)
        self.deltas = font.read("cmap", form, at + 16 + 2 * twice)
        self.places = at + 16 + 3 * twice
        self.offsets = font.read("cmap", f">{n}H", self.places)

    def find(self, code: int) -> int:
        """The glyph of a sign, 0 where there is none."""
        i = bisect_left(self.ends, code)
        if i == len(self.ends) or code < self.starts[i]:
            return 0
        if not self.offsets[i]:
            return (code + self.deltas[i]) % 65536
        at = self.places + 2 * i + self.offsets[i] + 2 * (code - self.starts[i])
        (glyph,) = self.font.read("cmap", ">H", at)
        return (glyph + self.deltas[i]) % 65536 if glyph else 0
