"""Who publishes, and how: every state stays, the last one stands."""

from __future__ import annotations

import json
import sqlite3
from datetime import datetime

from evenhand.records.publications import Days, Imprint, Link, Numbers
from evenhand.store.rows import Row, as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


def save_imprint(wb: Workbench, imprint: Imprint, *, at: datetime) -> None:
    """Puts it on record; what stands already is not saved again. Raises BadRecord for files not kept."""
    row: Row = {
        "name": imprint.name,
        "licence": imprint.licence,
        "place": imprint.place,
        "accent": imprint.accent,
        "mark": imprint.mark,
        "typeface": imprint.typeface,
        "words_a_minute": imprint.words_a_minute,
        "links": as_text(imprint.links),
        "numbers": None if imprint.numbers is Numbers.POINT else imprint.numbers.value,
        "days": None if imprint.days is Days.WORDS else imprint.days.value,
        "at": at.isoformat(),
    }
    with wb.writing() as conn:
        if imprint_now(wb) == imprint:
            return
        number = insert(conn, "imprints", row)
        seal(conn, "imprints", number)


def imprint_now(wb: Workbench) -> Imprint:
    """The imprint that stands; an empty one where nobody said anything."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM imprints ORDER BY id DESC LIMIT 1").fetchone()
    return Imprint() if row is None else imprint_from(row)


def imprint_from(row: sqlite3.Row) -> Imprint:
    """The imprint that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"imprint {row['id']}"):
        return Imprint(
            name=row["name"], licence=row["licence"], place=row["place"], accent=row["accent"],
            mark=row["mark"], typeface=row["typeface"], words_a_minute=row["words_a_minute"],
            links=tuple(Link(**each) for each in json.loads(row["links"])),
            numbers=Numbers(row["numbers"] or Numbers.POINT), days=Days(row["days"] or Days.WORDS),
        )  # fmt: skip
