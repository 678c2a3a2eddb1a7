"""What is assumed of power otherwise than as usual: every state stays, the last one stands."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from evenhand.errors import NotFound
from evenhand.store.rows import as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class TermsChange:
    """One state by its number: the numbers that are not the usual ones, by name, before it and in it.

    `last` says that it stands.
    """

    number: int
    before: Mapping[str, float]
    after: Mapping[str, float]
    last: bool


def save_terms(wb: Workbench, terms: Mapping[str, float], *, at: datetime) -> int:
    """Puts the numbers on record that are not the usual ones, by name; the number of this state.

    What stands is not saved again: 0.
    """
    with wb.writing() as conn:
        if terms_now(wb) == dict(terms):
            return 0
        number = insert(conn, "power_terms", {"terms": as_text(dict(terms)), "at": at.isoformat()})
        seal(conn, "power_terms", number)
    return number


def terms_now(wb: Workbench) -> dict[str, float]:
    """The numbers that stand in place of the usual ones, by name. Raises StoreProblem for broken ones."""
    with wb.reading() as conn:
        row = conn.execute("SELECT id, terms FROM power_terms ORDER BY id DESC LIMIT 1").fetchone()
    return _terms(row) if row else {}


def terms_change(wb: Workbench, number: int) -> TermsChange:
    """What one state changed. Raises NotFound."""
    with wb.reading() as conn:
        query = "SELECT id, terms FROM power_terms WHERE id <= ? ORDER BY id DESC LIMIT 2"
        rows = conn.execute(query, (number,)).fetchall()
        last = conn.execute("SELECT max(id) FROM power_terms").fetchone()[0]
    if not rows or rows[0]["id"] != number:
        found = f"no change {number} of what is assumed of power is on record"
        raise NotFound(found, where=str(wb.path), todo="look at what is assumed now")
    before = _terms(rows[1]) if len(rows) > 1 else {}
    return TermsChange(number=number, before=before, after=_terms(rows[0]), last=number == last)


def _terms(row: sqlite3.Row) -> dict[str, float]:
    with legible(f"power terms {row['id']}"):
        return {str(name): float(value) for name, value in json.loads(row["terms"]).items()}
