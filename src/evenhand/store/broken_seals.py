"""Seals that the rows beside them do not fit any more, in sentences."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import suppress

from evenhand.store.migrations import version
from evenhand.store.seals import SEALED, as_it_is, as_sealed
from evenhand.store.soundness import DAMAGE, SHOWN, in_short, name_of

SEALED_SINCE = 3  # the schema step that brought seals


def of_seals(conn: sqlite3.Connection, known: Sequence[str] = ()) -> list[str]:
    """Rows that are not what was written, are gone, or were not written by Evenhand.

    Rows that `known` problems tell of are not told twice.
    """
    if version(conn) < SEALED_SINCE:
        return []
    if _all_gone(conn):
        return ["the table seals is empty: what was changed elsewhere cannot be told"]
    found: list[str] = []
    for table in SEALED:
        try:
            now, sealed = dict(as_it_is(conn, table)), as_sealed(conn, table)
        except DAMAGE as error:
            found.append(f"the table {table}, or its seals, cannot be read to its end ({in_short(error)})")
            continue
        odd = {key: _odd(now.get(key), sealed.get(key)) for key in sorted({*sealed, *now}, key=in_order)}
        names = {name_of(table, key): words for key, words in odd.items() if words}
        new = [f"{name} {words}" for name, words in names.items() if not _told_of(name, known)]
        found += new[:SHOWN]
        if len(new) > SHOWN:
            found.append(f"and {len(new) - SHOWN:,} more of the table {table}")
    return found


def _all_gone(conn: sqlite3.Connection) -> bool:
    with suppress(*DAMAGE):
        sealed, written = conn.execute(
            "SELECT EXISTS (SELECT 1 FROM seals), EXISTS (SELECT 1 FROM history)"
        ).fetchone()
        return bool(written) and not sealed
    return False


def in_order(key: str) -> tuple[int, str]:
    """Numbers by size, ids by alphabet.

    >>> sorted(["10", "9", "1"], key=in_order)
    ['1', '9', '10']
    """
    return len(key), key


def _told_of(name: str, known: Sequence[str]) -> bool:
    return any(problem.startswith(f"{name} ") for problem in known)


def _odd(now: str | None, sealed: str | None) -> str:
    if now == sealed:
        return ""
    if now is None:
        return "is gone"
    return "was not written by Evenhand" if sealed is None else "is not what Evenhand wrote"
