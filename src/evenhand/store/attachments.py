"""Pictures of slots and runs, such as a photo of the settings: only ever added to."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import datetime

from evenhand.errors import NotFound
from evenhand.records.plans import Attachment
from evenhand.store.rows import insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


def attach(wb: Workbench, attachment: Attachment) -> Attachment:
    """Puts an attachment on record; its bytes must be kept already. The attachment with its number."""
    row = {
        "study": attachment.study,
        "digest": attachment.digest,
        "name": attachment.name,
        "media": attachment.media,
        "plan": attachment.plan,
        "slot": attachment.slot,
        "run": attachment.run,
        "by": attachment.by,
        "at": attachment.at.isoformat(),
    }
    with wb.writing() as conn:
        number = insert(conn, "attachments", row)
        seal(conn, "attachments", number)
    return replace(attachment, id=number)


def attachments_of(wb: Workbench, study: str) -> tuple[Attachment, ...]:
    """Every attachment of a study, the first first."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM attachments WHERE study = ? ORDER BY id", (study,))
        return tuple(map(attachment_from, rows))


def attachment(wb: Workbench, number: int) -> Attachment:
    """The attachment of this number. Raises NotFound."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM attachments WHERE id = ?", (number,)).fetchone()
    if row is None:
        raise NotFound(f"there is no attachment {number}", where=str(wb.path), todo="see the run it is of")
    return attachment_from(row)


def attachment_from(row: sqlite3.Row) -> Attachment:
    """The attachment that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"attachment {row['id']}"):
        return Attachment(
            id=row["id"],
            study=row["study"],
            digest=row["digest"],
            name=row["name"],
            media=row["media"],
            plan=row["plan"],
            slot=row["slot"],
            run=row["run"],
            by=row["by"],
            at=datetime.fromisoformat(row["at"]),
        )
