"""The careful way through a log, line by line: everything odd is listed with its line and column."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.traces.dialects import is_unit_row
from evenhand.traces.fields import is_comment, is_number, read_number, split_fields
from evenhand.traces.fingerprints import normalised
from evenhand.traces.flaws import (
    COMMENT_INSIDE,
    LONG_ROW,
    REPEATED_HEADER,
    SHORT_LAST_ROW,
    SHORT_ROW,
    UNREADABLE_ROW,
)
from evenhand.traces.gathering import Gathered, nothing_yet, table_of
from evenhand.traces.limits import Limits
from evenhand.traces.line_bounds import last_solid_line, lines_one_by_one
from evenhand.traces.probe import Probe
from evenhand.traces.tables import Table, Wanted


def read_carefully(body: bytes, probe: Probe, wanted: Wanted, *, limits: Limits) -> Table:
    """The needed columns of any delimited log.

    Raises BadLog for too many rows, or no row at all.
    """
    ended = body.endswith((b"\n", b"\r"))
    gathered = nothing_yet(wanted, probe, limits=limits)
    last = last_solid_line(body)
    for number, raw in enumerate(lines_one_by_one(body), start=1):
        if number < probe.first_row_line:
            continue
        text = raw.decode("utf-8", "replace")
        if text.strip():
            _take_line(text, number, gathered, probe, cut=number == last and not ended, last=number == last)
    return table_of(gathered, probe, body=body)


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
    gathered.add(line, {k: fields[k] for k in gathered.positions})


def _take_short(
    fields: list[str], line: int, gathered: Gathered, probe: Probe, *, cut: bool, last: bool
) -> None:
    """A row with fields missing; where the log was cut, its last field may be half a number: not trusted."""
    whole = fields[:-1] if cut else fields
    present: dict[int, str | None] = {k: whole[k] for k in gathered.positions if k < len(whole)}
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
