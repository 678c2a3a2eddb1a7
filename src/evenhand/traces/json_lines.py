"""Logs of one JSON object a line."""

from __future__ import annotations

from evenhand.traces.fingerprints import normalised
from evenhand.traces.flaws import SHORT_LAST_ROW, UNREADABLE_ROW
from evenhand.traces.gathering import Gathered, nothing_yet, table_of
from evenhand.traces.limits import Limits
from evenhand.traces.line_bounds import last_solid_line, lines_one_by_one
from evenhand.traces.probe import Probe, json_object
from evenhand.traces.tables import Table, Wanted


def read_json_lines(body: bytes, probe: Probe, wanted: Wanted, *, limits: Limits) -> Table:
    """The needed keys of every object; a key that a line lacks is an empty field.

    Raises BadLog for nested values, too many rows, or no row at all.
    """
    gathered = nothing_yet(wanted, probe, limits=limits)
    positions = {probe.header[k]: k for k in wanted.positions}
    spelt: dict[str, int | None] = {}  # keys are alike from line to line: each spelling is looked up once
    last = last_solid_line(body)
    for number, raw in enumerate(lines_one_by_one(body), start=1):
        if not raw.strip():
            continue
        found = json_object(raw.decode("utf-8", "replace"), name=probe.name, line=number, strict=False)
        if found is None:
            _note_broken(gathered, number, last=number == last)
            continue
        for key in found.keys() - spelt.keys():
            spelt[key] = positions.get(normalised(key))
        cells = {k: _as_cell(v) for key, v in found.items() if (k := spelt[key]) is not None}
        gathered.add(number, {k: cells.get(k, "") for k in wanted.positions})
    return table_of(gathered, probe, body=body)


def _note_broken(gathered: Gathered, line: int, *, last: bool) -> None:
    if last:
        gathered.notes.note(SHORT_LAST_ROW, line, remark="the object is not complete; left out")
    else:
        gathered.notes.note(UNREADABLE_ROW, line, remark="no complete object; left out")


def _as_cell(value: object) -> str:
    return "" if value is None else repr(value) if isinstance(value, float) else str(value)
