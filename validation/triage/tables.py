"""Tables of words, for a terminal or for a document."""

from __future__ import annotations

from collections.abc import Sequence

Table = tuple[Sequence[str], Sequence[Sequence[str]]]
"""A head and rows, all of the same length."""


def text(title: str, table: Table, *, markdown: bool = False) -> str:
    """A table under its title, for a terminal or for a document."""
    head, rows = table
    if markdown:
        made = ["| " + " | ".join(row) + " |" for row in (head, ["---"] * len(head), *rows)]
        return "\n".join([f"**{title}**", "", *made])
    widths = [max(len(row[i]) for row in (head, *rows)) for i in range(len(head))]
    aligned = (
        "  ".join([row[0].ljust(widths[0]), *(w.rjust(n) for w, n in zip(row[1:], widths[1:], strict=True))])
        for row in (head, *rows)
    )
    return "\n".join([title, *("  " + row.rstrip() for row in aligned)])


def percent(hits: int, of: int, digits: int = 0) -> str:
    """A share in words; a dash of nothing."""
    return f"{100 * hits / of:.{digits}f} %" if of else "–"
