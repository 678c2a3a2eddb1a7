"""Which delimiter a text uses, and where its header and rows begin.

Every candidate delimiter is scored on the lines left after comments: how many lines agree on the
number of fields, how many fields are values, whether the line above the rows has as many as they have.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice
from typing import NamedTuple

from evenhand.traces.fields import (
    COMMENT_SIGNS,
    ONE_COLUMN,
    SPACES,
    is_comment,
    is_number,
    is_value,
    split_fields,
)
from evenhand.traces.fingerprints import normalised
from evenhand.units import find_unit

DELIMITERS = (",", ";", "\t", "|", SPACES, ONE_COLUMN)
DELIMITER_NAMES = {
    ",": "comma",
    ";": "semicolon",
    "\t": "tab",
    "|": "pipe",
    SPACES: "spaces",
    ONE_COLUMN: "none (one column)",
}
SCORED_LINES = 12
_SEVERAL = re.compile(r"[,;|\t]")  # a header that names several columns over rows that have one
_TRAILING_WORDS = re.compile(r"\s{2,}")


class Line(NamedTuple):
    """One line of the beginning: its number, the byte where it starts, and what it says."""

    number: int
    offset: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """Where the rows are: `header` names the columns; `header_line` is None where the text has none.

    `header_fits` is False where no line above the rows has as many fields as they have.
    """

    delimiter: str
    header: tuple[str, ...]
    header_line: int | None
    first_row: Line
    comment: str = ""
    header_fits: bool = True


def find_shape(lines: Sequence[Line]) -> Shape | None:
    """The shape of a delimited text, or None where no line holds a value.

    >>> text = ["# note", "n;t [s]", "0;0,5", "1;0,6"]
    >>> shape = find_shape([Line(number=k + 1, offset=0, text=t) for k, t in enumerate(text)])
    >>> shape.delimiter, shape.header, shape.header_line, shape.comment
    (';', ('n', 't [s]'), 2, '#')
    """
    solid = [line for line in lines if line.text.strip()]
    texts = [line.text for line in solid]
    split = max((_Split.of(texts, d) for d in DELIMITERS), key=lambda one: _score(texts, one))
    delimiter, width, valued = split.delimiter, split.width, split.valued
    first = next((r for r in solid if _is_row(r.text, delimiter, width, valued)), None)
    if first is None or not valued:
        return None
    before = [line for line in solid if line.number < first.number]
    found = _header_line(before, first.text, delimiter, width)
    header, header_line = _header(before[: found.at + 1], delimiter, width)
    comments = [line.text.lstrip() for line in before if is_comment(line.text, delimiter)]
    sign = next((s for s in COMMENT_SIGNS if comments and comments[0].startswith(s)), "")
    return Shape(
        delimiter=delimiter, header=header, header_line=header_line, first_row=first, comment=sign,
        header_fits=found.fits or header_line is None,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Split:
    """The scored lines under one delimiter: their fields, the usual number of these, and the values.

    `values` holds, for each row of `width` fields, which of them are values; `valued` are the columns
    whose fields mostly are.
    """

    delimiter: str
    rows: list[list[str]]
    width: int
    values: list[list[bool]]
    valued: list[int]

    @classmethod
    def of(cls, texts: Sequence[str], delimiter: str) -> _Split:
        """The latest lines, taken apart; none of them where the delimiter stands nowhere in them."""
        latest = _latest(texts, delimiter)
        rows = [split_fields(t, delimiter) for t in latest] if any(delimiter in t for t in latest) else []
        counts = Counter(len(f) for f in rows)
        width = max(counts, key=lambda w: (counts[w], w), default=0)
        values = [[is_value(f) for f in row] for row in rows if len(row) == width]
        tally = [sum(column) for column in zip(*values, strict=True)]
        most = max(tally, default=0)
        valued = [k for k, t in enumerate(tally) if t and 2 * t >= most]
        return cls(delimiter=delimiter, rows=rows, width=width, values=values, valued=valued)


def _score(texts: Sequence[str], split: _Split) -> float:
    rows, width = split.rows, split.width
    if not rows:
        return 0.0
    # The first line may be the header.
    below = split.values[len(rows) > 1 and len(rows[0]) == width :]
    values = sum(map(sum, below)) / max(len(below) * width, 1)
    score = len(split.values) / len(rows) * (0.2 + 0.8 * values)
    if width == 1:
        return 0.5 * score
    above = _line_above(texts, split)
    open_ended = sum(not row[-1] for row in rows) >= len(rows) - 1
    fits = above is None or _line_above_fits(above, split.delimiter, width, open_ended=open_ended)
    return score if fits else 0.4 * score


def _latest(texts: Sequence[str], delimiter: str) -> list[str]:
    """The last lines that are no comments: past any preamble, and few enough to be quick."""
    plain = (t for t in reversed(texts) if not is_comment(t, delimiter))
    return list(islice(plain, SCORED_LINES))[::-1]


def _line_above(texts: Sequence[str], split: _Split) -> str | None:
    """The last line before the rows that is no comment; where no line is a row, the first line."""
    above: str | None = None
    for text in texts:
        if _is_row(text, split.delimiter, split.width, split.valued):
            return above
        above = above if is_comment(text, split.delimiter) else text
    return next(t for t in texts if not is_comment(t, split.delimiter))


def _line_above_fits(text: str, delimiter: str, width: int, *, open_ended: bool) -> bool:
    """Rows may end in a delimiter where the header does not."""
    fields = header_fields(text, delimiter, width)
    return len(fields) in (width, width - open_ended) or any(is_number(f) for f in fields)


def header_fields(text: str, delimiter: str, width: int) -> list[str]:
    """A header line's names; where columns stand apart by spaces, names may hold single ones.

    >>> header_fields("t [s]   frame [ms]", SPACES, 2)
    ['t [s]', 'frame [ms]']
    """
    fields = split_fields(text, delimiter)
    if delimiter == SPACES and len(fields) != width:
        apart = _TRAILING_WORDS.split(text.strip())
        return apart if len(apart) == width else fields
    return fields


def _is_row(text: str, delimiter: str, width: int, valued: Sequence[int]) -> bool:
    if is_comment(text, delimiter):
        return False
    fields = split_fields(text, delimiter)
    return len(fields) == width and 2 * sum(is_value(fields[k]) for k in valued) >= len(valued)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Chosen:
    """Which of the lines before the rows is the header, and whether it has as many fields as they have."""

    at: int
    fits: bool


def _header_line(before: Sequence[Line], row: str, delimiter: str, width: int) -> _Chosen:
    """The last line above the rows that names a column each; where none does, the very last line.

    Lines with another number of fields are passed over, so that a remark between header and rows is not
    taken for names. Rows may end in a delimiter that the header lacks.
    """
    open_ended = not split_fields(row, delimiter)[-1]
    for at in range(len(before) - 1, -1, -1):
        text = before[at].text
        if is_comment(text, delimiter):
            if at == len(before) - 1 and len(_comment_fields(text, delimiter, width)) == width > 1:
                return _Chosen(at=at, fits=True)
            continue
        if len(header_fields(text, delimiter, width)) in (width, width - open_ended):
            return _Chosen(at=at, fits=delimiter != ONE_COLUMN or not _SEVERAL.search(text))
    plain = [at for at, line in enumerate(before) if not is_comment(line.text, delimiter)]
    return _Chosen(at=len(before) - 1, fits=not plain)


def _header(before: Sequence[Line], delimiter: str, width: int) -> tuple[tuple[str, ...], int | None]:
    """Names and line of the header: the last line before the rows, a comment only where it fits exactly."""
    if not before:
        return _named([], width), None
    last = before[-1]
    if is_comment(last.text, delimiter):
        fields = _comment_fields(last.text, delimiter, width)
        return (_named(fields, width), last.number) if len(fields) == width > 1 else (_named([], width), None)
    fields = header_fields(last.text, delimiter, width)
    if len(before) > 1 and is_unit_row(fields):
        names = header_fields(before[-2].text, delimiter, width)
        if len(names) == len(fields):
            return _named([_with_unit(n, u) for n, u in zip(names, fields, strict=True)], width), before[
                -2
            ].number
    return _named(fields, width), last.number


def _comment_fields(text: str, delimiter: str, width: int) -> list[str]:
    return header_fields(_uncommented(text, delimiter), delimiter, width)


def _uncommented(text: str, delimiter: str) -> str:
    """The names behind a comment sign; a sign that is itself a name ("#,t,frame") stays."""
    bare = text.lstrip()
    sign = next(s for s in COMMENT_SIGNS if bare.startswith(s))
    rest = bare[len(sign) :]
    return bare if delimiter.strip(" ") and rest.startswith(delimiter) else rest.lstrip(" ")


def is_unit_row(fields: Sequence[str]) -> bool:
    """A second header line that holds nothing but units."""
    inner = [f.strip("[]() ") for f in fields]
    return any(inner) and all(not i or i in "-#" or _is_unit(i) for i in inner)


def _is_unit(text: str) -> bool:
    """Whether this names a unit; "1" stands for a count in the table and for a number in a row."""
    return find_unit(text) is not None and not is_number(text)


def _with_unit(name: str, unit: str) -> str:
    inner = unit.strip("[]() ")
    return f"{name} [{inner}]" if inner and inner not in "-#" else name


def _named(fields: Sequence[str], width: int) -> tuple[str, ...]:
    """One distinct name a column: blanks become "column 3", a second "load" becomes "load (2)"."""
    names: list[str] = []
    for k in range(max(width, len(fields))):
        name = normalised(fields[k]) if k < len(fields) else ""
        name = name or f"column {k + 1}"
        if name in names:
            name = f"{name} ({1 + sum(n == name or n.startswith(f'{name} (') for n in names)})"
        names.append(name)
    return tuple(names)
