"""The page of measured figures with its tables drawn anew and what was written by hand left as it is."""

from __future__ import annotations

FIRST = "**good runs held**"
_BY_HAND = "| goal | found |"


def redrawn(page: str, heading: str, tables: str) -> str:
    r"""The page under a new heading and with new tables; what stands between them stays.

    Raises `ValueError` for a page without its goals or its first table: nothing tells then what is to stay.

    >>> old = "# Old\n\n| goal | found |\n\n**good runs held**\n\nold"
    >>> redrawn(old, "# New\n", "**good runs held**\n\nnew").split("\n\n")
    ['# New', '| goal | found |', '**good runs held**', 'new\n']
    """
    for mark in (_BY_HAND, FIRST):
        if page.count(mark) != 1:
            raise ValueError(
                f"{mark!r} stands {page.count(mark)} times in the page, and must stand there once."
            )
    by_hand = page[page.index(_BY_HAND) : page.index(FIRST)]
    return f"{heading.rstrip()}\n\n{by_hand.rstrip()}\n\n{tables.strip()}\n"
