"""Cells of tables as a spreadsheet may take them."""

from __future__ import annotations

FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def neutral(cell: object) -> object:
    """A cell as a spreadsheet may take it: text that it would work out gets an apostrophe before it.

    Numbers stay numbers, a minus before them as well; what is missing is an empty cell.

    >>> neutral("=HYPERLINK(1)"), neutral("-2+3"), neutral("Plover"), neutral(-0.5), neutral(None)
    ("'=HYPERLINK(1)", "'-2+3", 'Plover', -0.5, '')
    """
    if cell is None:
        return ""
    if isinstance(cell, str) and cell.startswith(FORMULA):
        return f"'{cell}"
    return cell
