"""Scripts of studies: every state that was saved stays, the last one stands."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import datetime

from evenhand.records.publications import Script
from evenhand.store.rows import Row, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


def save_script(wb: Workbench, script: Script) -> Script:
    """Puts a state of a script on record, with its number; the text that stands is not saved again."""
    row: Row = {
        "study": script.study,
        "text": script.text,
        "by": script.by,
        "at": script.at.isoformat(),
    }
    with wb.writing() as conn:
        standing = script_of(wb, script.study)
        if standing is not None and standing.text == script.text:
            return standing
        number = insert(conn, "scripts", row)
        seal(conn, "scripts", number)
    return replace(script, id=number)


def script_of(wb: Workbench, study: str) -> Script | None:
    """The script of a study as it stands; None where none was saved."""
    every = scripts_of(wb, study)
    return every[-1] if every else None


def scripts_of(wb: Workbench, study: str) -> tuple[Script, ...]:
    """Every saved state of a study's script, the first first."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM scripts WHERE study = ? ORDER BY id", (study,))
        return tuple(map(script_from, rows))


def script_from(row: sqlite3.Row) -> Script:
    """The script that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"script {row['id']}"):
        return Script(
            id=row["id"], study=row["study"], text=row["text"], by=row["by"],
            at=datetime.fromisoformat(row["at"]),
        )  # fmt: skip
