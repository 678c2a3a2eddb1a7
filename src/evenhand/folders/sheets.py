"""A table that somebody brings as text, whatever program wrote it: its delimiter, its header and its rows.

What a column holds is said by whoever brings it, out of roles that the caller gives (`folders.sheet_roles`).
"""

from __future__ import annotations

import csv
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.errors import BadRecord
from evenhand.folders.cells import is_amount, is_day

MOST_BYTES = 2 * 2**20
MOST_COLUMNS = 60
DELIMITERS = {";": "semicolons", "\t": "tabs", "|": "bars", ",": "commas"}
LOOKED_AT = 50  # rows by which the delimiter is told
_LONGEST_CELL = 4000


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row: the line of the text on which it begins, from 1, and its cells, as many as the header has.

    `reason` says why it is no row of this table; "" where it is one.
    """

    line: int
    cells: tuple[str, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """A table as text: how its columns are set apart, what they are called, and its rows.

    `named` is False where the table has no header: its columns are called "column 1" and so on then.
    """

    name: str
    delimiter: str
    header: tuple[str, ...]
    rows: tuple[Row, ...]
    named: bool = True

    def column(self, at: int) -> tuple[str, ...]:
        """The cells of one column that hold something."""
        return tuple(row.cells[at] for row in self.rows if not row.reason and row.cells[at])

    @property
    def looks(self) -> str:
        """How it is written, in words."""
        header = "with a header" if self.named else "without a header"
        return f"set apart by {DELIMITERS[self.delimiter]}, {header}"


def read_sheet(data: bytes | str, *, name: str) -> Sheet:
    r"""A table out of its bytes or its text. Raises BadRecord where it is none.

    >>> sheet = read_sheet("part;price\nk6;310,00\n\nm1;90,00\n", name="a.csv")
    >>> sheet.header, [(row.line, row.cells) for row in sheet.rows]
    (('part', 'price'), [(2, ('k6', '310,00')), (4, ('m1', '90,00'))])
    """
    text = data if isinstance(data, str) else decoded(data, name)
    if len(text) > MOST_BYTES:
        raise BadRecord("this is more than 2 MiB of text", where=name, todo="bring it in pieces")
    delimiter = _delimiter(text, name)
    lines = [(at, cells) for at, cells in _parsed(text, delimiter, name) if any(cells)]
    width = Counter(len(cells) for _, cells in lines).most_common(1)[0][0]
    first = next(at for at, (_, cells) in enumerate(lines) if len(cells) == width)
    named = _is_header(lines[first][1], [cells for _, cells in lines[first + 1 :]])
    header = lines[first][1] if named else tuple(f"column {n}" for n in range(1, width + 1))
    if width > MOST_COLUMNS:
        todo = f"keep the needed ones, at most {MOST_COLUMNS}"
        raise BadRecord(f"it has {width} columns", where=name, todo=todo)
    rows = tuple(_row(at, cells, width) for at, cells in lines[first + named :])
    if not rows:
        found = "there is a header but no row below it"
        raise BadRecord(found, where=name, todo="bring the table with its rows")
    return Sheet(name=name, delimiter=delimiter, header=header, rows=rows, named=named)


def decoded(data: bytes, name: str) -> str:
    """The text of a table's file. Raises BadRecord where it is none, or too long."""
    if len(data) > 2 * MOST_BYTES:
        raise BadRecord("this is more than 2 MiB of text", where=name, todo="bring it in pieces")
    marked = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    if b"\x00" in data and not marked:
        raise BadRecord("this is no text", where=name, todo="save the table as CSV and bring that")
    for encoding in ("utf-16",) if marked else ("utf-8-sig", "cp1252"):
        try:
            return data.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise BadRecord("its letters cannot be read", where=name, todo="save it as CSV in UTF-8")


def _delimiter(text: str, name: str) -> str:
    """What sets columns apart: by which the most rows have the same number of them, and more than one."""
    head = text.splitlines(keepends=True)[: 4 * LOOKED_AT]
    if not any(line.strip() for line in head):
        raise BadRecord("there is nothing in it", where=name, todo="bring a table with a header and rows")
    best, found = (0.0, 0), ""
    for delimiter in DELIMITERS:
        share, width = _evenness(head, delimiter)
        if width > 1 and (share, width) > best:
            best, found = (share, width), delimiter
    if not found:
        todo = "set columns apart by commas, semicolons, tabs or bars"
        raise BadRecord("no columns are to be seen", where=name, todo=todo)
    return found


def _evenness(head: Sequence[str], delimiter: str) -> tuple[float, int]:
    """Which share of the rows has the usual number of columns, and that number."""
    try:
        counts = Counter(len(row) for row in csv.reader(head, delimiter=delimiter) if row)
    except csv.Error:
        return 0.0, 0
    width, rows = max(counts.items(), key=lambda each: (each[1], each[0]))
    return rows / counts.total(), width


def _parsed(text: str, delimiter: str, name: str) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Each record with the line on which it begins."""
    reader = csv.reader(text.splitlines(keepends=True), delimiter=delimiter, skipinitialspace=True)
    begins = 1
    try:
        for cells in reader:
            yield begins, tuple(" ".join(cell.split())[:_LONGEST_CELL] for cell in cells)
            begins = reader.line_num + 1
    except csv.Error as error:
        found = f"line {begins} cannot be taken apart ({error})"
        raise BadRecord(found, where=name, todo="see to the quotes there") from error


def _row(line: int, cells: tuple[str, ...], width: int) -> Row:
    over = len(cells) - width
    if over > 0 and any(cells[width:]):
        return Row(
            line=line, cells=cells[:width], reason=f"it has {len(cells)} cells where {width} are named"
        )
    if over < 0:
        padded = (*cells, *([""] * -over))
        return Row(line=line, cells=padded, reason=f"it has {len(cells)} cells of {width}")
    return Row(line=line, cells=cells[:width])


def _is_header(first: Sequence[str], others: Sequence[Sequence[str]]) -> bool:
    """Whether the first row names columns: none of its cells is an amount or a day, in others some are."""
    if any(is_amount(cell) or is_day(cell) for cell in first):
        return False
    return not others or any(is_amount(cell) or is_day(cell) for row in others for cell in row)
