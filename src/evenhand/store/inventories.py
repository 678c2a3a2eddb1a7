"""What rigs tell of their machines, and which parts these are said to be: added to, the last stands."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import asdict, replace
from datetime import datetime

from evenhand.errors import NotFound
from evenhand.records.inventories import Inventory, Told, ToldPart, Untold
from evenhand.store.rows import as_text, insert, legible
from evenhand.store.schema_told import INVENTORIES_KEPT
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

_LAST = "id IN (SELECT max(id) FROM inventories GROUP BY rig)"
_BEYOND = """
SELECT id FROM inventories AS old WHERE rig = :rig
AND id NOT IN (SELECT id FROM inventories WHERE rig = :rig ORDER BY id DESC LIMIT :kept)
AND NOT EXISTS (
    SELECT 1 FROM told_parts WHERE rig = :rig
    AND old.id = (SELECT max(id) FROM inventories WHERE rig = :rig AND at <= told_parts.at)
)
"""  # the same as the file's own guard, which refuses to let go of any other (`schema_told`)


def save_inventory(wb: Workbench, inventory: Inventory) -> None:
    """Puts on record what a rig tells; what it told the last time is not saved again.

    A rig that tells something else each time fills no disk: its newest 20 stay, and beside them each that
    stood when somebody said which part one of its parts is.
    """
    with wb.writing() as conn:
        before = next((each for each in inventories(wb) if each.rig == inventory.rig), None)
        if before is not None and replace(before, id=0, at=inventory.at) == inventory:
            return
        told = {"parts": list(map(asdict, inventory.parts)), "untold": list(map(asdict, inventory.untold))}
        row = {
            "rig": inventory.rig, "name": inventory.name, "build": inventory.build,
            "told": as_text(told), "at": inventory.at.isoformat(),
        }  # fmt: skip
        seal(conn, "inventories", insert(conn, "inventories", row))
        beyond = conn.execute(_BEYOND, {"rig": inventory.rig, "kept": INVENTORIES_KEPT}).fetchall()
        for old in beyond:
            conn.execute("DELETE FROM inventories WHERE id = ?", (old["id"],))
            seal(conn, "inventories", old["id"])


def inventories(wb: Workbench) -> tuple[Inventory, ...]:
    """What each rig told last, in order of arrival. Raises StoreProblem for what cannot be read."""
    with wb.reading() as conn:
        rows = conn.execute(f"SELECT * FROM inventories WHERE {_LAST} ORDER BY id").fetchall()  # noqa: S608
    return tuple(map(_inventory, rows))


def inventory_numbered(wb: Workbench, number: int) -> Inventory:
    """One of them by its number. Raises NotFound, and for one that its rig has told otherwise since."""
    found = next((each for each in inventories(wb) if each.id == number), None)
    if found is None:
        todo = "load the page again: its rig may have told something else since"
        raise NotFound(f"no rig tells this now ({number})", where=str(wb.path), todo=todo)
    return found


def _inventory(row: sqlite3.Row) -> Inventory:
    with legible(f"inventory {row['id']}"):
        told = json.loads(row["told"])
        return Inventory(
            id=row["id"], rig=row["rig"], name=row["name"], build=row["build"],
            parts=tuple(ToldPart(**part) for part in told["parts"]),
            untold=tuple(Untold(**each) for each in told["untold"]),
            at=datetime.fromisoformat(row["at"]),
        )  # fmt: skip


def save_match(wb: Workbench, told: Told, part: str | None, *, at: datetime) -> None:
    """Puts on record which part a told one is; None for none of the workbench's."""
    with wb.writing() as conn:
        row = {**asdict(told), "part": part, "at": at.isoformat()}
        seal(conn, "told_parts", insert(conn, "told_parts", row))


def matches(wb: Workbench) -> dict[Told, str | None]:
    """The part that each told one was last said to be."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM told_parts ORDER BY id").fetchall()
    return {
        Told(rig=row["rig"], kind=row["kind"], name=row["name"], nth=row["nth"]): row["part"] for row in rows
    }
