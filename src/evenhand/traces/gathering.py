"""Rows of a log gathered one by one into columns, in about ten bytes a number.

Texts are kept only of fields that are no number, and of those whose decimal mark is not known yet.
"""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field

import numpy as np

from evenhand.errors import BadLog
from evenhand.traces.fields import decimal_mark, read_number
from evenhand.traces.flaws import EMPTY_FIELD, UNREADABLE_FIELD, FlawNotes, place
from evenhand.traces.limits import Limits, too_many_rows
from evenhand.traces.probe import Probe
from evenhand.traces.tables import Floats, RowPlaces, Rows, Table, Wanted, note_not_finite

SHOWN_CHARACTERS = 24


@dataclass(slots=True, kw_only=True)
class Numbers:
    """A column so far: its values, NaN where there is none yet.

    `odd`: by row, the texts that are no number, None where the row has no such field (noted once for the
    row). `open`: by row, the texts that are a number or not according to the decimal mark; empty where
    `decimal` is known.
    """

    decimal: str | None
    values: array[float] = field(default_factory=lambda: array("d"))
    odd: dict[int, str | None] = field(default_factory=dict)
    open: dict[int, str] = field(default_factory=dict)

    def add(self, cell: str | None) -> None:
        """One more field."""
        row = len(self.values)
        if cell is not None and self.decimal is None and ("," in cell or "." in cell):
            self.open[row] = cell
            self.values.append(np.nan)
            return
        value = None if cell is None else read_number(cell, self.decimal or ".")
        if value is None:
            self.odd[row] = cell
        self.values.append(np.nan if value is None else value)

    def settle(self, decimal: str) -> None:
        """Read what was left open by this decimal mark."""
        for row, cell in self.open.items():
            value = read_number(cell, decimal)
            if value is None:
                self.odd[row] = cell
            else:
                self.values[row] = value
        self.open = {}


@dataclass(slots=True, kw_only=True)
class Gathered:
    """Rows so far: the needed columns by position, and the line each row stands in; `name` is the log's."""

    name: str
    limits: Limits

    numbers: dict[int, Numbers]
    texts: dict[int, list[str]]
    lines: array[int] = field(default_factory=lambda: array("q"))
    notes: FlawNotes = field(default_factory=FlawNotes)

    def add(self, line: int, fields: dict[int, str | None]) -> None:
        """One more row. Raises BadLog for the first one too many, before all others are read."""
        if len(self.lines) >= self.limits.max_rows:
            raise too_many_rows(self.limits, where=place(self.name, line=line))
        self.lines.append(line)
        for position, column in self.numbers.items():
            column.add(fields.get(position))
        for position, texts in self.texts.items():
            texts.append(fields.get(position) or "")

    @property
    def positions(self) -> tuple[int, ...]:
        """Of the needed columns."""
        return tuple(dict.fromkeys((*self.numbers, *self.texts)))


def nothing_yet(wanted: Wanted, probe: Probe, *, limits: Limits) -> Gathered:
    """No row so far of the columns that are wanted."""
    decimal = probe.decimal if probe.decimal_seen else None
    return Gathered(
        name=probe.name,
        limits=limits,
        numbers={k: Numbers(decimal=decimal) for k in wanted.numbers},
        texts={k: [] for k in wanted.texts},
    )


def table_of(gathered: Gathered, probe: Probe, *, body: bytes) -> Table:
    """The gathered columns as arrays, each unreadable field NaN and listed."""
    n = len(gathered.lines)
    if n == 0:
        raise BadLog(
            "no row can be read",
            where=place(probe.name, line=probe.first_row_line),
            todo="check the delimiter and the export",
        )
    lines = np.array(gathered.lines, dtype=np.intp)
    places = RowPlaces(name=probe.name, body=body, first_line=probe.first_row_line, line_numbers=lines)
    decimal = decimal_mark([text for column in gathered.numbers.values() for text in column.open.values()])
    numbers: dict[int, Floats] = {}
    for position, column in gathered.numbers.items():
        column.settle(decimal or ".")  # the beginning held whole numbers only
        numbers[position] = _values(column, places, header=probe.header[position], notes=gathered.notes)
    return Table(probe=probe, n=n, numbers=numbers, texts=gathered.texts, places=places, notes=gathered.notes)


def _values(column: Numbers, places: RowPlaces, *, header: str, notes: FlawNotes) -> Floats:
    values = np.frombuffer(column.values, dtype=np.float64)
    named, blank = f"column '{header}'", np.zeros(values.size, dtype=np.bool_)
    blank[_rows(column.odd)] = True
    texts = {row: text for row, text in sorted(column.odd.items()) if text is not None}
    strange = {row: text for row, text in texts.items() if text}
    notes.note_all(EMPTY_FIELD, places.lines(_rows(texts.keys() - strange.keys())), remark=named)
    if strange:
        first = next(iter(strange.values()))[:SHOWN_CHARACTERS]
        notes.note_all(UNREADABLE_FIELD, places.lines(_rows(strange)), remark=f"{named}, first '{first}'")
    note_not_finite(values, places, header=header, notes=notes, blank=blank)
    return values


def _rows(found: object) -> Rows:
    return np.array(sorted(found), dtype=np.intp)  # type: ignore[call-overload]
