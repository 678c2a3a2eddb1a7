"""The needed columns of a log, whichever way they were read, and where each row stands in the file."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.errors import BadLog, nearest
from evenhand.traces.fingerprints import normalised
from evenhand.traces.flaws import NOT_FINITE, FlawNotes, place
from evenhand.traces.line_bounds import lines_one_by_one
from evenhand.traces.probe import Probe

Floats = npt.NDArray[np.float64]
Rows = npt.NDArray[np.intp]
Bools = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Which columns of a log to read: `numbers` and `texts` are positions in the header."""

    numbers: tuple[int, ...]
    texts: tuple[int, ...] = ()

    @property
    def positions(self) -> tuple[int, ...]:
        """All of them, numbers first."""
        return (*self.numbers, *self.texts)


@dataclass(frozen=True, slots=True, kw_only=True)
class RowPlaces:
    """Where rows stand in `body`: row k is line `line_numbers[k]`, or the k-th solid line from `first_line`.

    Worked out only when asked, since a clean log never asks.
    """

    name: str
    body: bytes
    first_line: int
    line_numbers: Rows | None = None

    def lines(self, rows: Rows) -> list[int]:
        """Line numbers, counted from 1."""
        if self.line_numbers is not None:
            return [int(k) for k in self.line_numbers[rows]]
        if not rows.size:
            return []
        return [int(k) for k in self.solid()[rows]]

    def line(self, row: int) -> int:
        """The line number of one row."""
        return self.lines(np.array([row], dtype=np.intp))[0]

    def solid(self) -> Rows:
        """Numbers of all lines that are not blank, from the first row on."""
        return np.fromiter((k for k, _ in self._solid_lines()), dtype=np.intp)

    def written(self) -> Iterator[bytes]:
        """The rows as written, one after the other: a list of all would take six times their text."""
        if self.line_numbers is None:
            yield from (line for _, line in self._solid_lines())
            return
        asked = iter(self.line_numbers.tolist())
        wanted = next(asked, None)
        for k, line in enumerate(lines_one_by_one(self.body), start=1):
            if k == wanted:
                yield line
                wanted = next(asked, None)

    def _solid_lines(self) -> Iterator[tuple[int, bytes]]:
        lines = enumerate(lines_one_by_one(self.body), start=1)
        return ((k, line) for k, line in lines if k >= self.first_line and line.strip())


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Table:
    """The needed columns: numbers of shape (n,) by position, texts likewise; flaws found on the way."""

    probe: Probe
    n: int
    numbers: Mapping[int, Floats]
    texts: Mapping[int, Sequence[str]]
    places: RowPlaces
    notes: FlawNotes


def position_of(header: str, probe: Probe) -> int:
    """Where a named column stands.

    Raises BadLog that names the columns present and the nearest.
    """
    wanted = normalised(header)
    if wanted in probe.header:
        return probe.header.index(wanted)
    present = ", ".join(f"'{h}'" for h in probe.header[:12])
    more = f" and {len(probe.header) - 12:,} more" if len(probe.header) > 12 else ""
    hint = nearest(wanted, probe.header[:64])
    todo = hint if hint.startswith("did") else "confirm the columns of this log again"
    raise BadLog(
        f"the layout needs column '{wanted}', the log has {present}{more} ({probe.dialect})",
        where=place(probe.name, line=probe.header_line or probe.first_row_line),
        todo=todo,
    )


def note_not_finite(
    values: Floats, where: RowPlaces, *, header: str, notes: FlawNotes, blank: Bools | None
) -> None:
    """List fields written as NaN or infinity; `blank` marks those that could not be read at all."""
    if np.isfinite(values.sum()):
        return
    odd = ~np.isfinite(values) if blank is None else ~np.isfinite(values) & ~blank
    notes.note_all(NOT_FINITE, where.lines(np.flatnonzero(odd)), remark=f"column '{header}'")
