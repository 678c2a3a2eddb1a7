"""How the rows of an interval plot part into pictures, and how far their common scale reaches."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.findings.finding import Outcome
from evenhand.publish.figures.frame import balanced, nice_steps
from evenhand.publish.figures.interval_rows import Row
from evenhand.publish.spans import MOST_PERCENT, Span
from evenhand.publish.style import Style

MOST_ROWS_ON_CARD = 10
AROUND, STACKED = 480, 98  # px: what head and foot of a narrow card take, and the least of its rows
MOST_ROWS_ON_PAGE = 60


def reach_of(rows: Sequence[Row], margin: float) -> float:
    """How far the scale goes each way: past every point and settled interval, not past every loose end."""
    spans = [(row, row.span) for row in rows if row.span is not None and not row.foretold]
    points = [abs(span.value) for _, span in spans]
    points += [abs(again.span.value) for row, _ in spans for again in row.with_runs]
    settled = [e for row, span in spans if row.outcome is not Outcome.UNSETTLED for e in _ends(span)]
    loose = [end for _, span in spans for end in _ends(span)]
    needed = max([*points, *settled, 200 * margin])
    wanted = min(max([*loose, needed]), 2 * needed) * 1.04
    step = nice_steps(min(wanted, MOST_PERCENT), 4)
    return step * -(-min(wanted, MOST_PERCENT) // step)


def _ends(span: Span) -> list[float]:
    return [abs(end) for end in (span.low, span.high) if end is not None]


def pages_of(tests: list[Row], sums: list[Row], style: Style) -> list[list[Row]]:
    """The rows of each picture: all on one where they fit, else the tests first and the indexes after.

    The index over all tests stands below the tests too where they leave room for one row more.
    """
    most = most_rows(style)
    if len(tests) + len(sums) <= most:
        return [[*tests, *sums]]
    overall = [row for row in sums if row.overall]
    if overall and len(tests) < most:
        return [[*tests, *overall], *_split(sums, most)]
    return [*_split(tests, most), *_split(sums, most)]


def most_rows(style: Style) -> int:
    """How many rows one picture holds."""
    if style.height is None:
        return MOST_ROWS_ON_PAGE
    return int((style.height - AROUND) / STACKED) if style.narrow else MOST_ROWS_ON_CARD


def _split(rows: list[Row], most: int) -> list[list[Row]]:
    """Rows on as few pages as hold them, a comment never parted from its row by the start of a page."""
    pages: list[list[Row]] = []
    start = 0
    for size in balanced(len(rows), most):
        end = min(start + size, len(rows))
        while start < end < len(rows) and rows[end].quiet and rows[end].outcome and end - start > 1:
            end -= 1
        pages.append(rows[start:end])
        start = end
    return [*pages, *([rows[start:]] if start < len(rows) else [])]
