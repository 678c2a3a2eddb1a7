"""The fast way through a clean delimited log: strict, or not at all.

Whatever this cannot take to the letter (a comment among the rows, a short row, a field that is no
number) makes it give up, and the careful way reads the log instead.
"""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.csv as pa_csv

from evenhand.traces.fields import ONE_COLUMN, SPACES
from evenhand.traces.flaws import EMPTY_FIELD, FlawNotes, place
from evenhand.traces.limits import Limits, too_many_rows
from evenhand.traces.probe import Probe
from evenhand.traces.tables import Bools, Floats, RowPlaces, Table, Wanted, note_not_finite

_BLOCK_BYTES = 16 * 1024 * 1024  # one block for most logs: nothing to join afterwards
_COMMENT_LINE = re.compile(rb"[\r\n][ \t]*(?:#|//|!)")
_COMMENT_OR_SEMICOLON_LINE = re.compile(rb"[\r\n][ \t]*(?:#|//|!|;)")


def read_quickly(body: bytes, probe: Probe, wanted: Wanted, *, limits: Limits) -> Table | None:
    """The needed columns of a clean log, or None. Raises BadLog where it has too many rows."""
    if _has_comment_inside(body, probe):
        return None
    quoted = body.find(b'"', probe.first_row_offset) >= 0
    if quoted and not _quotes_enclose_fields(body[probe.first_row_offset :], probe.delimiter):
        return None
    found = _parsed(body, probe, wanted, quoted=quoted)
    if found is None or not found.num_rows:
        return None
    if found.num_rows > limits.max_rows:
        raise too_many_rows(limits, where=place(probe.name))
    places = RowPlaces(name=probe.name, body=body, first_line=probe.first_row_line)
    if quoted and len(places.solid()) != found.num_rows:
        return None
    return _table(found, probe, wanted, places)


def _has_comment_inside(body: bytes, probe: Probe) -> bool:
    """Single bytes are looked for first: that is nearly free, and most logs hold none of them."""
    signs = (b"#", b"/", b"!") if probe.delimiter == ";" else (b"#", b"/", b"!", b";")
    if not any(body.find(sign, probe.first_row_offset) >= 0 for sign in signs):
        return False
    pattern = _COMMENT_LINE if probe.delimiter == ";" else _COMMENT_OR_SEMICOLON_LINE
    return pattern.search(body, probe.first_row_offset) is not None


def _quotes_enclose_fields(rows: bytes, delimiter: str) -> bool:
    """Every quote opens or closes a whole field; doubled, stray and spanning ones need care."""
    if delimiter in (SPACES, ONE_COLUMN):
        return False
    mark = delimiter.encode()
    opening = rows.count(mark + b'"') + rows.count(b'\n"') + rows.startswith(b'"')
    closing = rows.count(b'"' + mark) + rows.count(b'"\n') + rows.count(b'"\r') + rows.endswith(b'"')
    return opening == closing and opening + closing == rows.count(b'"')


def _parsed(body: bytes, probe: Probe, wanted: Wanted, *, quoted: bool) -> pa.Table | None:
    rows = pa.py_buffer(body).slice(probe.first_row_offset)
    if probe.delimiter == SPACES:
        rows = pa.py_buffer(_single_spaced(body[probe.first_row_offset :]))
    types = {str(k): pa.float64() for k in wanted.numbers} | {str(k): pa.string() for k in wanted.texts}
    try:
        return pa_csv.read_csv(
            pa.BufferReader(rows),  # type: ignore[arg-type]  # the stubs know only Python files
            read_options=pa_csv.ReadOptions(
                use_threads=False,
                block_size=min(_BLOCK_BYTES, max(rows.size, 1)),
                column_names=[str(k) for k in range(len(probe.header))],
            ),
            parse_options=pa_csv.ParseOptions(
                delimiter=probe.delimiter or "\x1f", quote_char='"' if quoted else False
            ),
            convert_options=pa_csv.ConvertOptions(
                include_columns=list(types),
                column_types=types,
                null_values=[""],
                decimal_point=probe.decimal,
            ),
        )
    except pa.ArrowInvalid:
        return None


def _single_spaced(rows: bytes) -> bytes:
    """Runs of spaces and tabs as one space, none at either end of a line."""
    rows = rows.replace(b"\t", b" ")
    while b"  " in rows:
        rows = rows.replace(b"  ", b" ")
    for end in (b"\n", b"\r"):
        rows = rows.replace(end + b" ", end).replace(b" " + end, end)
    return rows.strip(b" ")


def _table(found: pa.Table, probe: Probe, wanted: Wanted, places: RowPlaces) -> Table:
    notes = FlawNotes()
    numbers: dict[int, Floats] = {}
    for position in wanted.numbers:
        header = probe.header[position]
        values, blank = _floats(found[str(position)])
        if blank is not None:
            notes.note_all(EMPTY_FIELD, places.lines(np.flatnonzero(blank)), remark=f"column '{header}'")
        note_not_finite(values, places, header=header, notes=notes, blank=blank)
        numbers[position] = values
    texts = {k: [str(t).strip() for t in found[str(k)].to_pylist()] for k in wanted.texts}
    return Table(probe=probe, n=found.num_rows, numbers=numbers, texts=texts, places=places, notes=notes)


def _floats(column: pa.ChunkedArray[Any]) -> tuple[Floats, Bools | None]:
    """A column as an array, and which of its fields were empty (those are NaN).

    Taken from the buffers: the library's own conversion imports pandas where that is installed.
    """
    whole = pa.concat_arrays(column.chunks)
    valid, values = whole.buffers()
    kept = slice(whole.offset, whole.offset + len(whole))
    assert values is not None
    floats = np.frombuffer(memoryview(values), dtype=np.float64)[kept]
    if not whole.null_count or valid is None:
        return floats, None
    floats = floats.copy()
    bits = np.unpackbits(np.frombuffer(memoryview(valid), dtype=np.uint8), bitorder="little")
    blank = bits[kept] == 0
    floats[blank] = np.nan
    return floats, blank
