"""What a log looks like, from its first few kilobytes: encoding, delimiter, decimal mark, header, rows."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate

from evenhand.errors import BadLog
from evenhand.traces.dialects import DELIMITER_NAMES, Line, Shape, find_shape
from evenhand.traces.fields import decimal_mark, is_comment, split_fields
from evenhand.traces.fingerprints import normalised
from evenhand.traces.flaws import place
from evenhand.traces.limits import DEFAULT_LIMITS, Limits
from evenhand.traces.line_bounds import line_too_long
from evenhand.traces.unpacking import Text, unpack_beginning

DELIMITED = "delimited"
JSON_LINES = "json lines"
PREVIEW_ROWS = 8
SAMPLE_ROWS = 64
_JSON_LIST = re.compile(rb"\s*\[\s*[\[{]")
_BEGINNINGS_BYTES = (
    8 * 1024,
    256 * 1024,
    4 * 1024 * 1024,
)  # a longer look only where the shorter finds no row


@dataclass(frozen=True, slots=True, kw_only=True)
class Probe:
    """What the text looks like; nothing here is a promise about lines further down.

    `form` is "delimited" or "json lines"; `delimiter` is " " for any run of spaces and "" for a single
    column; `decimal` is "." or ",", a guess where `decimal_seen` is False. `header` names the columns:
    as written, outer and doubled spaces off, or "column 1" and so on where `header_line` is None.
    `header_fits` is False where the header names more or fewer columns than the rows have.
    `rows` holds the first 64 rows as text, or as many as were asked for, `preview` the first 8. Lines
    count from 1. `first_row_offset` is the byte of the unpacked UTF-8 text where the rows begin.
    """

    name: str
    encoding: str
    marked: bool
    gz: bool
    form: str
    delimiter: str
    decimal: str
    decimal_seen: bool
    comment: str
    header: tuple[str, ...]
    header_line: int | None
    first_row_line: int
    first_row_offset: int
    rows: tuple[tuple[str, ...], ...]
    header_fits: bool = True

    @property
    def preview(self) -> tuple[tuple[str, ...], ...]:
        """The first rows, as written."""
        return self.rows[:PREVIEW_ROWS]

    @property
    def dialect(self) -> str:
        """The look in words."""
        packed = "gzip, " if self.gz else ""
        if self.form == JSON_LINES:
            return f"{packed}{self.encoding}, JSON lines"
        mark = "comma" if self.decimal == "," else "point"
        return f"{packed}{self.encoding}, delimiter {DELIMITER_NAMES[self.delimiter]}, decimal {mark}"


def probe(data: bytes, *, name: str, limits: Limits = DEFAULT_LIMITS, max_rows: int = SAMPLE_ROWS) -> Probe:
    r"""A look at the beginning of a log; `max_rows` of its rows are taken apart.

    Raises BadLog where nothing can be read as rows: empty, binary, header only, too many columns.

    >>> seen = probe(b"t [s];frame [ms]\n0,000;16,7\n0,017;16,6\n", name="a.csv")
    >>> seen.header, seen.delimiter, seen.decimal, seen.header_line
    (('t [s]', 'frame [ms]'), ';', ',', 1)
    """
    for size in _BEGINNINGS_BYTES:
        text = unpack_beginning(data, size, name=name, limits=limits)
        seen = _look(text, max_rows, name=name, limits=limits)
        if seen is not None:
            return seen
        if text.whole:
            break
    raise _nothing_found(text, name=name)


def probe_text(text: Text, *, name: str, limits: Limits = DEFAULT_LIMITS) -> Probe:
    """The same look at a text that is unpacked already; only the preview rows are split."""
    for size in _BEGINNINGS_BYTES:
        whole = text.whole and len(text.body) <= size
        cut = Text(body=text.body[:size], encoding=text.encoding, marked=text.marked, gz=text.gz, whole=whole)
        seen = _look(cut, PREVIEW_ROWS, name=name, limits=limits)
        if seen is not None:
            return seen
        if whole:
            break
    raise _nothing_found(cut, name=name)


def _look(text: Text, max_rows: int, *, name: str, limits: Limits) -> Probe | None:
    _check_lines(text.body, name=name, limits=limits)
    lines = _lines(text)
    if not lines:
        return None
    if text.body.lstrip()[:1] == b"{":
        return _look_at_json(text, lines, name=name)
    shape = find_shape(lines)
    if shape is None or (not text.whole and lines[-1].number <= shape.first_row.number):
        return None
    if len(shape.header) > limits.max_columns:
        raise _too_many_columns(name, shape.first_row.number, len(shape.header), limits)
    rows = _sample(lines, shape, max_rows)
    decimal = decimal_mark([f for row in rows for f in row])
    return Probe(
        name=name, encoding=text.encoding, marked=text.marked, gz=text.gz, form=DELIMITED,
        delimiter=shape.delimiter, decimal=decimal or ".", decimal_seen=decimal is not None,
        comment=shape.comment, header=shape.header, header_line=shape.header_line,
        first_row_line=shape.first_row.number, first_row_offset=shape.first_row.offset, rows=rows,
        header_fits=shape.header_fits,
    )  # fmt: skip


def _check_lines(body: bytes, *, name: str, limits: Limits) -> None:
    """Refuse a line too long to be a row before anything splits it."""
    start, line = 0, 1
    while start < len(body):
        end = body.find(b"\n", start)
        end = len(body) if end < 0 else end
        if end - start > 2 * limits.max_columns:
            columns = 1 + max(body.count(d.encode(), start, end) for d in (",", ";", "\t", "|"))
            if columns > limits.max_columns:
                raise _too_many_columns(name, line, columns, limits)
        if end - start > limits.max_line_bytes:
            raise line_too_long(name, line, limits)
        start, line = end + 1, line + 1


def _too_many_columns(name: str, line: int, columns: int, limits: Limits) -> BadLog:
    return BadLog(
        f"at least {columns:,} columns, past the limit of {limits.max_columns:,}",
        where=place(name, line=line),
        todo="check the delimiter, or export only the columns that are needed",
    )


def _lines(text: Text) -> list[Line]:
    """The complete lines of the beginning."""
    raws = text.body.splitlines(keepends=True)
    if raws and not text.whole and not raws[-1].endswith(b"\n"):
        del raws[-1]  # cut short, or between the two bytes of a line end
    offsets = accumulate(map(len, raws), initial=0)
    return [
        Line(number, offset, raw.rstrip(b"\r\n").decode("utf-8", "replace"))
        for number, (offset, raw) in enumerate(zip(offsets, raws, strict=False), start=1)
    ]


def _sample(lines: Sequence[Line], shape: Shape, max_rows: int) -> tuple[tuple[str, ...], ...]:
    rows: list[tuple[str, ...]] = []
    for line in lines:
        if (
            line.number < shape.first_row.number
            or not line.text.strip()
            or is_comment(line.text, shape.delimiter)
        ):
            continue
        rows.append(tuple(split_fields(line.text, shape.delimiter)))
        if len(rows) == max_rows:
            break
    return tuple(rows)


def _look_at_json(text: Text, lines: Sequence[Line], *, name: str) -> Probe | None:
    first = next(line for line in lines if line.text.strip())
    objects: list[dict[str, object]] = []
    for line in lines:
        if line.text.strip() and len(objects) < SAMPLE_ROWS:
            objects.append(json_object(line.text, name=name, line=line.number, strict=not objects) or {})
    keys = {key: normalised(key) for found in objects for key in found}
    if not keys:
        return None
    return Probe(
        name=name, encoding=text.encoding, marked=text.marked, gz=text.gz, form=JSON_LINES, delimiter="",
        decimal=".", decimal_seen=True, comment="", header=tuple(dict.fromkeys(keys.values())),
        header_line=None, first_row_line=first.number, first_row_offset=first.offset,
        rows=tuple(tuple(_as_text(found.get(key)) for key in keys) for found in objects),
    )  # fmt: skip


def _as_text(value: object) -> str:
    return "" if value is None else str(value)


def json_object(text: str, *, name: str, line: int, strict: bool) -> dict[str, object] | None:
    """One line's JSON object with plain values; None where it is no object and `strict` is off.

    >>> json_object('{"frame_ms": 16.7}', name="a.jsonl", line=1, strict=True)
    {'frame_ms': 16.7}
    """
    try:
        found = json.loads(text)
    except (ValueError, RecursionError) as error:
        if strict:
            raise _no_object(name, line) from error
        return None
    if not isinstance(found, dict):
        if strict:
            raise _no_object(name, line)
        return None
    for key, value in found.items():
        if isinstance(value, dict | list):
            raise BadLog(
                "a value holds further values; only plain numbers and texts can be columns",
                where=place(name, line=line, column=str(key)),
                todo="write one flat object a line",
            )
    return found


def _no_object(name: str, line: int) -> BadLog:
    return BadLog(
        "this looks like JSON lines, but the line is no complete object",
        where=place(name, line=line),
        todo="write one object a line, each complete on its line",
    )


def _nothing_found(text: Text, *, name: str) -> BadLog:
    solid = [b.strip() for b in text.body.split(b"\n") if b.strip()]
    if not solid:
        return BadLog("the file holds only blank lines", where=name, todo="record the run again")
    if _JSON_LIST.match(text.body):
        return BadLog(
            "this looks like JSON, but begins with a list; a row is an object of its own",
            where=place(name, line=text.body[: text.body.index(b"[")].count(b"\n") + 1),
            todo="write one flat object a line, each complete on its line",
        )
    plain = [b for b in solid if not is_comment(b.decode("utf-8", "replace"), "")]
    if len(plain) <= 1:
        return BadLog(
            "there is a header but no row below it" if plain else "there are only comments, no rows",
            where=place(
                name, line=text.body[: text.body.index(plain[0] if plain else solid[-1])].count(b"\n") + 1
            ),
            todo="record the run again, or check that the export was complete",
        )
    shown = plain[0][:60].decode("utf-8", "replace")
    return BadLog(
        f"no row of numbers found; tried comma, semicolon, tab, pipe, spaces; the first line reads '{shown}'",
        where=name,
        todo="export the log as delimited text or JSON lines",
    )
