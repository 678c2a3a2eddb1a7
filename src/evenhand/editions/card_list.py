"""The list of an edition's cards, `cards/cards.json`: what each is called and shows, and where it lies."""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Mapping
from typing import Any

from evenhand.errors import BadRecord

CardRow = Mapping[str, Any]

MOST_BYTES = 16_000_000  # some 10,000 cards have five
TOLD: Mapping[str, type] = {
    "name": str, "medium": str, "file": str, "title": str, "alt": str, "width": int, "height": int,
}  # fmt: skip
_NAME = re.compile(r"(?!\.)[^/\\:\x00-\x1f]{1,200}")  # of a file that is written under it
ELSE = "draw today's without --edition; the workbench and its editions stay as they are"


def card_list(data: bytes, *, where: str, files: Collection[str]) -> tuple[CardRow, ...]:
    """The rows of a list of cards, in order; `files` are the paths that lie beside it.

    Raises BadRecord where it is none, and names the first entry that is wrong.
    """
    if len(data) > MOST_BYTES:
        raise _refused(f"more than {MOST_BYTES // 1_000_000} MB are no list of cards", where)
    try:
        rows = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise _refused(f"this is no JSON ({error!s:.80})", where) from error
    if not isinstance(rows, list):
        raise _refused("this is no list of cards", where)
    for number, row in enumerate(rows, start=1):
        wrong = _wrong(row, files)
        if wrong:
            raise _refused(f"entry {number}: {wrong}", where)
    return tuple(rows)


def _wrong(row: Any, files: Collection[str]) -> str:
    """What is wrong with an entry; "" where nothing is."""
    if not isinstance(row, dict):
        return "it is no card"
    for key, kind in TOLD.items():
        if not isinstance(row.get(key), kind) or isinstance(row.get(key), bool):
            return f"'{key}' is missing, or no {'number' if kind is int else 'text'}"
    if not _NAME.fullmatch(row["name"]):
        return f"'{row['name']:.40}' is no name of a file"
    return "" if row["file"] in files else f"'{row['file']:.80}' is not there"


def _refused(found: str, where: str) -> BadRecord:
    return BadRecord(found, where=where, todo=ELSE)
