"""The careful way through a log, line by line: everything odd is listed with its line and column."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from evenhand.errors import BadLog
from evenhand.traces.dialects import is_unit_row
from evenhand.traces.fields import decimal_mark, is_comment, is_number, read_number, split_fields
from evenhand.traces.fingerprints import normalised
from evenhand.traces.flaws import (
    COMMENT_INSIDE,
    EMPTY_FIELD,
    LONG_ROW,
    REPEATED_HEADER,
    SHORT_LAST_ROW,
    SHORT_ROW,
    UNREADABLE_FIELD,
    UNREADABLE_ROW,
    FlawNotes,
    place,
)
from evenhand.traces.limits import Limits
from evenhand.traces.probe import Probe, line_too_long
from evenhand.traces.tables import Floats, RowPlaces, Table, Wanted, note_not_finite, text_lines

Cells = list[str | None]  # None: the row has no such field, which is noted once for the row
SHOWN_CHARACTERS = 24


@dataclass(slots=True, kw_only=True)
class Gathered:
    """Rows so far: the needed cells of each, by position, and the line each stands in."""

    cells: dict[int, Cells]
    lines: list[int] = field(default_factory=list)
    notes: FlawNotes = field(default_factory=FlawNotes)

    def add(self, line: int, fields: dict[int, str | None]) -> None:
        """One more row."""
        self.lines.append(line)
        for position, cells in self.cells.items():
            cells.append(fields.get(position))


def read_carefully(body: bytes, probe: Probe, wanted: Wanted, *, limits: Limits) -> Table:
    """The needed columns of any delimited log.

    Raises BadLog for a line past the limit, too many rows, or no row at all.
    """
    lines = text_lines(body)
    ended = body.endswith((b"\n", b"\r"))
    gathered = Gathered(cells={k: [] for k in wanted.positions})
    last = max((k for k, raw in enumerate(lines, start=1) if raw.strip()), default=0)
    for number, raw in enumerate(lines[probe.first_row_line - 1 :], start=probe.first_row_line):
        if len(raw) > limits.max_line_bytes:
            raise line_too_long(probe.name, number, limits)
        text = raw.decode("utf-8", "replace")
        if text.strip():
            _take_line(text, number, gathered, probe, cut=number == last and not ended, last=number == last)
    return table_of(gathered, probe, wanted, body=body, limits=limits)


def _take_line(text: str, line: int, gathered: Gathered, probe: Probe, *, cut: bool, last: bool) -> None:
    if is_comment(text, probe.delimiter):
        gathered.notes.note(COMMENT_INSIDE, line)
        return
    fields = split_fields(text, probe.delimiter)
    if _is_header(fields, probe):
        gathered.notes.note(REPEATED_HEADER, line)
        return
    spare = len(fields) - len(probe.header)
    if spare > 0 and any(fields[len(probe.header) :]):
        gathered.notes.note(LONG_ROW, line)
        gathered.add(line, {})
        return
    if spare < 0:
        _take_short(fields, line, gathered, probe, cut=cut, last=last)
        return
    gathered.add(line, {k: fields[k] for k in gathered.cells})


def _take_short(
    fields: list[str], line: int, gathered: Gathered, probe: Probe, *, cut: bool, last: bool
) -> None:
    """A row with fields missing; where the log was cut, its last field may be half a number: not trusted."""
    whole = fields[:-1] if cut else fields
    present: dict[int, str | None] = {k: whole[k] for k in gathered.cells if k < len(whole)}
    gathered.notes.note(
        SHORT_LAST_ROW if last else SHORT_ROW, line, remark=f"{len(probe.header)} fields expected"
    )
    if any(f and read_number(f, probe.decimal) is not None for f in present.values()):
        gathered.add(line, present)
    elif not last:
        gathered.notes.note(UNREADABLE_ROW, line, remark="no number where one is needed; left out")


def _is_header(fields: Sequence[str], probe: Probe) -> bool:
    if probe.header_line is None or is_number(fields[0]):
        return False
    if is_unit_row(fields):
        return True
    same = [
        f and (h == f or h.startswith(f"{f} ["))
        for f, h in zip(map(normalised, fields), probe.header, strict=False)
    ]
    return bool(same and same[0]) and 2 * sum(map(bool, same)) > len(probe.header)


def table_of(gathered: Gathered, probe: Probe, wanted: Wanted, *, body: bytes, limits: Limits) -> Table:
    """The gathered cells as arrays, each unreadable one NaN and listed."""
    n = len(gathered.lines)
    if not 0 < n <= limits.max_rows:
        found = "no row can be read" if n == 0 else f"{n:,} rows, past the limit of {limits.max_rows:,}"
        raise BadLog(
            found,
            where=place(probe.name, line=probe.first_row_line),
            todo="check the delimiter and the export",
        )
    lines = np.array(gathered.lines, dtype=np.intp)
    places = RowPlaces(name=probe.name, body=body, first_line=probe.first_row_line, line_numbers=lines)
    decimal = probe.decimal if probe.decimal_seen else _decimal(gathered, wanted)
    numbers = {
        k: _numbers(gathered.cells[k], places, header=probe.header[k], decimal=decimal, notes=gathered.notes)
        for k in wanted.numbers
    }
    texts = {k: [cell or "" for cell in gathered.cells[k]] for k in wanted.texts}
    return Table(probe=probe, n=n, numbers=numbers, texts=texts, places=places, notes=gathered.notes)


def _decimal(gathered: Gathered, wanted: Wanted) -> str:
    """The decimal mark, where the beginning held whole numbers only."""
    return decimal_mark([c for k in wanted.numbers for c in gathered.cells[k] if c]) or "."


def _numbers(cells: Cells, places: RowPlaces, *, header: str, decimal: str, notes: FlawNotes) -> Floats:
    read = [None if cell is None else read_number(cell, decimal) for cell in cells]
    values = np.array([np.nan if v is None else v for v in read], dtype=np.float64)
    blank = np.array([v is None for v in read], dtype=np.bool_)
    bad = [k for k, v in enumerate(read) if v is None and cells[k] is not None]
    empty = [k for k in bad if not cells[k]]
    strange = [k for k in bad if cells[k]]
    column = f"column '{header}'"
    notes.note_all(EMPTY_FIELD, places.lines(np.array(empty, dtype=np.intp)), remark=column)
    if strange:
        first = str(cells[strange[0]])[:SHOWN_CHARACTERS]
        rows = np.array(strange, dtype=np.intp)
        notes.note_all(UNREADABLE_FIELD, places.lines(rows), remark=f"{column}, first '{first}'")
    note_not_finite(values, places, header=header, notes=notes, blank=blank)
    return values
