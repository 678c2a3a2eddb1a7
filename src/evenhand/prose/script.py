"""A script in Markdown: chapters, paragraphs, sentences and cues, each with its place in the source."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from evenhand.prose.references import Reference, references

_LINE = re.compile(r"[^\n]*(?:\n|\Z)")
_HEADING = re.compile(r"(#{1,6}[ \t]+)(.*?)([ \t]*#*[ \t]*\n?)\Z")
_CUE = re.compile(r"([ \t]*\[card:[ \t]*)([^\]\n]*?)([ \t]*\][ \t]*\n?)\Z")
_MARK = re.compile(r"[ \t]*(?:(?:[-*+>]|\d{1,3}[.)])[ \t]+)*")
_END = re.compile(r"[.!?…]+[\"'”’)\]*_]*(?=\s|\Z)")


class Sort(StrEnum):
    """What a piece of a script is."""

    HEADING = "heading"
    SENTENCE = "sentence"
    CUE = "cue"
    GAP = "gap"


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where something stands: `start` and `end` in the source, line and column of its start, from 1."""

    start: int
    end: int
    line: int
    column: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """A stretch of the source. Pieces follow each other without a hole, so that together they are the source.

    `chapter` counts headings of the second level, `paragraph` blocks; both from 0. `level` is a heading's.
    """

    sort: Sort
    text: str
    place: Place
    chapter: int
    paragraph: int
    level: int = 0

    @property
    def references(self) -> tuple[Reference, ...]:
        """The references in it, with places in the source."""
        return references(self.text, at=self.place.start)


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A script as it was written, in pieces."""

    text: str
    pieces: tuple[Piece, ...]

    @property
    def said(self) -> tuple[Piece, ...]:
        """Headings and sentences."""
        return tuple(p for p in self.pieces if p.sort in (Sort.HEADING, Sort.SENTENCE))

    def place(self, start: int, end: int) -> Place:
        """A place in this script."""
        return place_in(self.text, start, end)


def place_in(text: str, start: int, end: int) -> Place:
    r"""A place in a source.

    >>> place_in("one\ntwo", 5, 6)
    Place(start=5, end=6, line=2, column=2)
    """
    line = text.count("\n", 0, start) + 1
    return Place(start=start, end=end, line=line, column=start - (text.rfind("\n", 0, start) + 1) + 1)


def parse(text: str, *, abbreviations: frozenset[str] = frozenset()) -> Script:
    r"""A script in pieces. Nothing is lost: what is no heading, sentence or cue is a gap.

    >>> [p.text for p in parse("## One\nTwo. Three\n").pieces if p.sort is not Sort.GAP]
    ['One', 'Two.', 'Three']
    """
    pieces, chapter = [], 0
    for paragraph, block in enumerate(_blocks(text)):
        level = block.level
        chapter += level == 2
        for sort, start, end in block.cut(text, abbreviations):
            if start < end:
                pieces.append(
                    Piece(
                        sort=sort, text=text[start:end], place=place_in(text, start, end), chapter=chapter,
                        paragraph=paragraph, level=level if sort is Sort.HEADING else 0,
                    )
                )  # fmt: skip
    return Script(text=text, pieces=tuple(pieces))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Block:
    """Lines that belong together; `level` is above 0 for a heading."""

    sort: Sort
    start: int
    end: int
    level: int = 0
    inner: tuple[int, int] = (0, 0)

    def cut(self, text: str, abbreviations: frozenset[str]) -> Iterator[tuple[Sort, int, int]]:
        """The pieces of this block."""
        if self.sort in (Sort.HEADING, Sort.CUE):
            yield Sort.GAP, self.start, self.inner[0]
            yield self.sort, *self.inner
            yield Sort.GAP, self.inner[1], self.end
        elif self.sort is Sort.GAP:
            yield Sort.GAP, self.start, self.end
        else:
            yield from _sentences(text, (self.start, self.end), abbreviations)


def _blocks(text: str) -> Iterator[_Block]:
    """Headings and cues by line, paragraphs by runs of lines; a new list item begins a paragraph."""
    begun: int | None = None
    at = 0
    for line in _LINE.findall(text):
        start, end = at, at + len(line)
        at = end
        heading, cue = _HEADING.match(line), _CUE.match(line)
        special = heading or cue
        is_item = bool(_MARK.match(line)[0].strip())  # type: ignore[index]
        if begun is not None and (special or not line.strip() or is_item):
            yield _Block(sort=Sort.SENTENCE, start=begun, end=start)
            begun = None
        if special:
            inner = (start + special.start(2), start + special.end(2))
            sort, level = (Sort.HEADING, heading[1].count("#")) if heading else (Sort.CUE, 0)
            yield _Block(sort=sort, start=start, end=end, level=level, inner=inner)
        elif not line.strip():
            yield _Block(sort=Sort.GAP, start=start, end=end)
        elif begun is None:
            begun = start
    if begun is not None:
        yield _Block(sort=Sort.SENTENCE, start=begun, end=len(text))


def _sentences(
    text: str, span: tuple[int, int], abbreviations: frozenset[str]
) -> Iterator[tuple[Sort, int, int]]:
    """The sentences of a paragraph, and what lies between them."""
    at, end = span
    mark = _MARK.match(text, at, end)
    begin = mark.end() if mark else at
    yield Sort.GAP, at, begin
    for found in _END.finditer(text, begin, end):
        if found.start() < begin or not _ends(text, found, abbreviations):
            continue
        yield Sort.SENTENCE, begin, found.end()
        after = found.end()
        while after < end and text[after].isspace():
            after += 1
        yield Sort.GAP, found.end(), after
        begin = after
    last = begin + len(text[begin:end].rstrip())
    yield Sort.SENTENCE, begin, last
    yield Sort.GAP, last, end


def _ends(text: str, found: re.Match[str], abbreviations: frozenset[str]) -> bool:
    """Whether a sentence ends here: no abbreviation, not inside a reference, and nothing small goes on."""
    word = re.split(r"[\s(]", text[max(0, found.start() - 12) : found.start()])[-1]
    if found[0].startswith(".") and word.casefold() in abbreviations:
        return False
    opened = text.rfind("{", max(0, found.start() - 200), found.start())
    if opened >= 0 and text.find("}", opened, found.start()) < 0 and "}" in text[found.end() :][:200]:
        return False
    after = text[found.end() :].lstrip()
    return not after[:1].islower()
