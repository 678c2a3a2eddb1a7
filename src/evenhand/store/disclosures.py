"""How the reviewer stands to parts: only ever added to; of a part and kind the last one counts."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime

from evenhand.records.publications import Disclosure, How
from evenhand.store.rows import Row, as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


def add_disclosure(wb: Workbench, disclosure: Disclosure) -> Disclosure:
    """Puts a disclosure on record, with its number. Raises BadRecord where the part is not on record."""
    row: Row = {
        "part": disclosure.part,
        "how": disclosure.how.value,
        "by": disclosure.by,
        "note": disclosure.note,
        "stands": int(disclosure.stands),
        "at": disclosure.at.isoformat(),
    }
    with wb.writing() as conn:
        number = insert(conn, "disclosures", row)
        seal(conn, "disclosures", number)
    return replace(disclosure, id=number)


def disclosures_of(wb: Workbench, parts: Iterable[str]) -> tuple[Disclosure, ...]:
    """What stands of these parts now, in order of arrival: the last of each part and kind."""
    last = {(each.part, each.how): each for each in ever_disclosed(wb, parts)}
    return tuple(sorted((d for d in last.values() if d.stands), key=lambda d: d.id))


def ever_disclosed(wb: Workbench, parts: Iterable[str]) -> tuple[Disclosure, ...]:
    """Everything that was ever put down of these parts, the first first."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT * FROM disclosures WHERE part IN (SELECT value FROM json_each(?)) ORDER BY id",
            (as_text(tuple(parts)),),
        )
        return tuple(map(disclosure_from, rows))


def disclosure_from(row: sqlite3.Row) -> Disclosure:
    """The disclosure that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"disclosure {row['id']}"):
        return Disclosure(
            id=row["id"], part=row["part"], how=How(row["how"]), by=row["by"], note=row["note"],
            stands=bool(row["stands"]), at=datetime.fromisoformat(row["at"]),
        )  # fmt: skip
