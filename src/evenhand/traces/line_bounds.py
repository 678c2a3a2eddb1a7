"""Lines of a text: how long and how many they may be, and one after the other without a list of all."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.errors import BadLog
from evenhand.traces.flaws import place
from evenhand.traces.limits import MIB, Limits

SPARE_LINES = 2  # times as many lines as rows: comments and blank lines stand between rows


def check_lines(body: bytes, *, name: str, limits: Limits) -> None:
    """Refuse a line too long to be a row, and more lines than any log has, before anything splits them.

    Costs next to nothing: one look back for a line end in each stretch as long as a line may be, and lines
    are counted only where there are bytes for so many.
    """
    most = limits.max_line_bytes
    start = 0
    while start + most < len(body):
        end = _last_end(body, start, start + most + 1)
        if end < 0:
            line = _line_ends(body, start) + 1
            raise line_too_long(name, line, limits)
        start = end + 1
    most_lines = SPARE_LINES * limits.max_rows + 1
    lines = _line_ends(body, len(body)) if len(body) > most_lines else 0
    if lines > most_lines:
        raise BadLog(
            f"{lines:,} lines, past what {limits.max_rows:,} rows can need, the limit",
            where=name,
            todo="split it into one file a run",
        )


def line_too_long(name: str, line: int, limits: Limits) -> BadLog:
    """The refusal of a line that cannot be a row."""
    return BadLog(
        f"the line is longer than {limits.max_line_bytes:,} bytes, the limit for one row",
        where=place(name, line=line),
        todo="check that this is a log with one row a line",
    )


def _last_end(body: bytes, start: int, stop: int) -> int:
    feed = body.rfind(b"\n", start, stop)
    return feed if feed >= 0 else body.rfind(b"\r", start, stop)


def _line_ends(body: bytes, stop: int) -> int:
    """How many line ends stand before `stop`, whichever way lines end."""
    feeds, returns = body.count(b"\n", 0, stop), body.count(b"\r", 0, stop)
    return feeds + returns - (body.count(b"\r\n", 0, stop) if returns else 0)


def last_solid_line(body: bytes) -> int:
    """The number of the last line that is not blank; 0 without one."""
    solid = body.rstrip()
    return _line_ends(solid, len(solid)) + 1 if solid else 0


def lines_one_by_one(body: bytes) -> Iterator[bytes]:
    r"""All lines of a text without their ends, whichever way they end.

    >>> list(lines_one_by_one(b"a\r\nb\n\nc"))
    [b'a', b'b', b'', b'c']
    """
    if b"\r" in body:
        body = body.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    start = 0
    while start < len(body):
        end = body.find(b"\n", start + MIB)
        end = len(body) if end < 0 else end
        yield from body[start:end].split(b"\n")
        start = end + 1
