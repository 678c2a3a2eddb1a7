"""Studies put away and brought back: only ever added to. What was done last with a study stands."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import datetime

from evenhand.records.away import StudyAway
from evenhand.store.rows import Row, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

_STANDING = "id IN (SELECT max(id) FROM studies_away GROUP BY study) AND away"


def add_away(wb: Workbench, away: StudyAway) -> StudyAway:
    """Puts it on record that a study was put away or brought back; the same with its number.

    Raises BadRecord where the study is not on record.
    """
    row: Row = {
        "study": away.study,
        "away": int(away.away),
        "note": away.note,
        "by": away.by,
        "at": away.at.isoformat(),
    }
    with wb.writing() as conn:
        number = insert(conn, "studies_away", row)
        seal(conn, "studies_away", number)
    return replace(away, id=number)


def studies_away(wb: Workbench) -> dict[str, StudyAway]:
    """The studies that are put away now, by key, in the order in which they were."""
    with wb.reading() as conn:
        rows = conn.execute(f"SELECT * FROM studies_away WHERE {_STANDING} ORDER BY id")  # noqa: S608
        return {each.study: each for each in map(away_from, rows)}


def away_of(wb: Workbench, study: str) -> tuple[StudyAway, ...]:
    """Every time a study was put away or brought back, the first first."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM studies_away WHERE study = ? ORDER BY id", (study,))
        return tuple(map(away_from, rows))


def away_from(row: sqlite3.Row) -> StudyAway:
    """What a row holds. Raises StoreProblem where it holds nothing of the kind."""
    with legible(f"entry {row['id']} of studies put away"):
        return StudyAway(
            id=row["id"],
            study=row["study"],
            away=bool(row["away"]),
            note=row["note"],
            by=row["by"],
            at=datetime.fromisoformat(row["at"]),
        )
