"""The kinds of flaw a reader may list, each with its meaning; and the list they are gathered in.

A flaw is told, never repaired: the trace holds what the log holds, and NaN where that is no frame time.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from evenhand.traces.trace import Flaw

NO_FINAL_LINE_END = "no final line end"
SHORT_LAST_ROW = "short last row"
SHORT_ROW = "short row"
LONG_ROW = "long row"
EMPTY_FIELD = "empty field"
UNREADABLE_FIELD = "unreadable field"
UNREADABLE_ROW = "unreadable row"
NOT_FINITE = "not finite"
REPEATED_HEADER = "repeated header"
COMMENT_INSIDE = "comment inside"
MIXED_LINE_ENDS = "mixed line ends"
MIXED_ENCODINGS = "mixed encodings"
CUT_ARCHIVE = "cut archive"
NEGATIVE_FRAME_TIME = "negative frame time"
ZERO_FRAME_TIME = "zero frame time"
PAST_BELIEF = "frame time past belief"
CLOCK_GOES_BACK = "clock goes back"
CLOCK_STANDS = "clock stands still"
GAP = "gap"
DUPLICATED_ROW = "duplicated row"
SPAN_DISAGREES = "span disagrees"
PAST_MIDNIGHT = "past midnight"
ASSUMED_UNIT = "assumed unit"
ASSUMED_ZONE = "assumed zone"
ASSUMED_DATE_ORDER = "assumed date order"

MEANINGS: dict[str, str] = {
    NO_FINAL_LINE_END: "the last row has all its fields but no line end: the log may be cut there",
    SHORT_LAST_ROW: "the last row has fewer fields than the others: the log was cut while being written",
    SHORT_ROW: "a row has fewer fields than the header; the missing ones are NaN",
    LONG_ROW: "a row has more fields than the header, so none of them can be placed: all are NaN",
    EMPTY_FIELD: "a field that is needed is empty: NaN",
    UNREADABLE_FIELD: "a field that should hold a number does not: NaN",
    UNREADABLE_ROW: "a line is no JSON object: all its fields are NaN",
    NOT_FINITE: "a field says NaN or infinity, as written by the program that logged it",
    REPEATED_HEADER: "the header stands again among the rows: two takes in one file, or a restart; skipped",
    COMMENT_INSIDE: "a comment line stands among the rows; skipped",
    MIXED_LINE_ENDS: "lines end in more than one way: the file may be joined from several",
    MIXED_ENCODINGS: "some bytes are no UTF-8 while others are: the file may be joined from several",
    CUT_ARCHIVE: "the gzip archive ends too early; the rows before the cut are read",
    NEGATIVE_FRAME_TIME: "a frame time below zero",
    ZERO_FRAME_TIME: "a frame time of exactly zero",
    PAST_BELIEF: "a frame over ten minutes and 10,000 usual ones, or under 1 µs and a thousandth of one: NaN",
    CLOCK_GOES_BACK: "elapsed time is smaller than in the row before",
    CLOCK_STANDS: "elapsed time is the same as in the row before, though the clock can tell rows apart",
    GAP: "the clock moves on by more than the rows account for: rows are missing",
    DUPLICATED_ROW: "a row stands in the log a second time",
    SPAN_DISAGREES: "the frame times do not add up to the time the clock spans",
    PAST_MIDNIGHT: "a time of day without a date passes midnight; a day is added from there on",
    ASSUMED_UNIT: "neither layout nor header gives the unit",
    ASSUMED_ZONE: "neither the times nor the layout give a time zone: read as UTC",
    ASSUMED_DATE_ORDER: "day and month cannot be told apart: read as day first",
}

SHOWN = 3  # lines spelled out; the rest is a count


@dataclass(slots=True, kw_only=True)
class FlawNotes:
    """Flaws while a log is being read: lines by kind and remark, in the order first met."""

    lines: dict[tuple[str, str], list[int]] = field(default_factory=dict)
    plain: list[Flaw] = field(default_factory=list)

    def note(self, kind: str, line: int, *, remark: str = "") -> None:
        """One more line with this flaw."""
        self.lines.setdefault((kind, remark), []).append(line)

    def note_all(self, kind: str, lines: Sequence[int], *, remark: str = "") -> None:
        """Many lines with this flaw at once; none is none."""
        if len(lines):
            self.lines.setdefault((kind, remark), []).extend(lines)

    def say(self, kind: str, detail: str, *, line: int | None = None) -> None:
        """A flaw of the whole log."""
        self.plain.append(Flaw(kind=kind, detail=detail, line=line))

    def flaws(self) -> tuple[Flaw, ...]:
        """Everything noted, the first few lines spelled out."""
        return (*self.plain, *(_told(k, r, lines) for (k, r), lines in self.lines.items()))


def _told(kind: str, remark: str, lines: Sequence[int]) -> Flaw:
    detail = f"{in_lines(lines)}: {remark}" if remark else in_lines(lines)
    return Flaw(kind=kind, detail=detail, line=min(lines), count=len(lines))


def in_lines(lines: Iterable[int]) -> str:
    """Line numbers in words, the first few and a count.

    >>> in_lines([7]), in_lines([4, 9, 12, 30, 31])
    ('line 7', 'lines 4, 9, 12 and 2 more')
    """
    numbers = sorted(lines)
    shown = [f"{n:,}" for n in numbers[:SHOWN]]
    rest = len(numbers) - SHOWN
    if rest > 0:
        return f"lines {', '.join(shown)} and {rest:,} more"
    word = "line" if len(numbers) == 1 else "lines"
    joined = shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"
    return f"{word} {joined}"


def place(name: str, *, line: int | None = None, column: str | None = None) -> str:
    """Where in a log: file, line, column.

    >>> place("crowd.csv", line=12, column="frame [ms]")
    "crowd.csv, line 12, column 'frame [ms]'"
    """
    parts = [name]
    if line is not None:
        parts.append(f"line {line:,}")
    if column is not None:
        parts.append(f"column '{column}'")
    return ", ".join(parts)
