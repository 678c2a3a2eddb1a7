"""From bytes to the needed columns: unpack, find the columns, read the fast way or the careful way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from evenhand.records.layouts import Column
from evenhand.traces.careful import read_carefully
from evenhand.traces.flaws import MIXED_LINE_ENDS, NO_FINAL_LINE_END, SHORT_LAST_ROW
from evenhand.traces.json_lines import read_json_lines
from evenhand.traces.limits import Limits
from evenhand.traces.line_bounds import check_lines
from evenhand.traces.probe import DELIMITED, Probe, probe_text
from evenhand.traces.quick import read_quickly
from evenhand.traces.tables import Floats, Table, Wanted, position_of
from evenhand.traces.unpacking import Text, unpack


@dataclass(frozen=True, slots=True, kw_only=True)
class Named:
    """A table whose columns answer to the columns of a layout."""

    table: Table
    positions: dict[str, int]

    def numbers(self, column: Column) -> Floats:
        """A column's numbers, as written."""
        return self.table.numbers[self.positions[column.header]]

    def texts(self, column: Column) -> Sequence[str]:
        """A column's texts."""
        return self.table.texts[self.positions[column.header]]


def read_columns(
    data: bytes, numbers: Sequence[Column], texts: Sequence[Column], *, seen: Probe, limits: Limits
) -> Named:
    """The columns a layout names, as numbers or as texts; `seen` is what `probe` saw of these bytes.

    Raises BadLog with file, line and column where the bytes cannot be used.
    """
    text = unpack(data, name=seen.name, limits=limits)
    seen = _seen_whole(seen, text, limits=limits)
    positions = {c.header: position_of(c.header, seen) for c in (*numbers, *texts)}
    wanted = Wanted(
        numbers=tuple(dict.fromkeys(positions[c.header] for c in numbers)),
        texts=tuple(dict.fromkeys(positions[c.header] for c in texts)),
    )
    table = _read(text.body, seen, wanted, limits=limits)
    table.notes.plain.extend(text.flaws)
    _note_line_ends(text.body, table)
    return Named(table=table, positions=positions)


def _seen_whole(seen: Probe, text: Text, *, limits: Limits) -> Probe:
    """The look at the beginning, taken again where letters further down tell of another encoding."""
    if seen.encoding == text.encoding:
        return seen
    if seen.encoding == "ascii":  # the same bytes in every other encoding
        return replace(seen, encoding=text.encoding)
    return probe_text(text, name=seen.name, limits=limits)


def _read(body: bytes, seen: Probe, wanted: Wanted, *, limits: Limits) -> Table:
    check_lines(body, name=seen.name, limits=limits)
    if seen.form != DELIMITED:
        return read_json_lines(body, seen, wanted, limits=limits)
    quick = read_quickly(body, seen, wanted, limits=limits)
    return quick if quick is not None else read_carefully(body, seen, wanted, limits=limits)


def _note_line_ends(body: bytes, table: Table) -> None:
    short = any(kind == SHORT_LAST_ROW for kind, _ in table.notes.lines)
    if not body.endswith((b"\n", b"\r")) and not short:
        table.notes.note(NO_FINAL_LINE_END, table.places.line(table.n - 1))
    if b"\r" in body:
        both, returns, feeds = body.count(b"\r\n"), body.count(b"\r"), body.count(b"\n")
        kinds = {"CRLF": both, "LF": feeds - both, "CR": returns - both}
        used = [f"{count:,} {end}" for end, count in kinds.items() if count]
        if len(used) > 1:
            table.notes.say(MIXED_LINE_ENDS, f"lines end in {' and '.join(used)}")
