"""What is assumed of power otherwise than as usual: every state stays, the last one stands."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime

from evenhand.store.rows import as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


def save_terms(wb: Workbench, terms: Mapping[str, float], *, at: datetime) -> None:
    """Puts the numbers on record that are not the usual ones, by name; what stands is not saved again."""
    with wb.writing() as conn:
        if terms_now(wb) == dict(terms):
            return
        number = insert(conn, "power_terms", {"terms": as_text(dict(terms)), "at": at.isoformat()})
        seal(conn, "power_terms", number)


def terms_now(wb: Workbench) -> dict[str, float]:
    """The numbers that stand in place of the usual ones, by name. Raises StoreProblem for broken ones."""
    with wb.reading() as conn:
        row = conn.execute("SELECT id, terms FROM power_terms ORDER BY id DESC LIMIT 1").fetchone()
    if row is None:
        return {}
    with legible(f"power terms {row['id']}"):
        return {str(name): float(value) for name, value in json.loads(row["terms"]).items()}
