"""Plans of bench days and what was written beside their slots: only ever added to, the last one stands."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import replace
from datetime import datetime

from evenhand.errors import NotFound
from evenhand.records.plans import BenchNote, Plan, Slot
from evenhand.store.rows import Row, as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


def save_plan(wb: Workbench, plan: Plan) -> Plan:
    """Puts a plan on record, in the place of the study's earlier ones; the plan with its number."""
    row: Row = {
        "study": plan.study,
        "seed": plan.seed,
        "looks": as_text(plan.looks),
        "slots": as_text(plan.slots),
        "note": plan.note,
        "at": plan.at.isoformat(),
    }
    with wb.writing() as conn:
        number = insert(conn, "plans", row)
        seal(conn, "plans", number)
    return replace(plan, id=number)


def plans_of(wb: Workbench, study: str) -> tuple[Plan, ...]:
    """Every plan a study has had, the first first; the last one stands."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM plans WHERE study = ? ORDER BY id", (study,))
        return tuple(map(plan_from, rows))


def plan(wb: Workbench, number: int) -> Plan:
    """The plan of this number. Raises NotFound."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM plans WHERE id = ?", (number,)).fetchone()
    if row is None:
        raise NotFound(f"there is no plan {number}", where=str(wb.path), todo="see the study's bench page")
    return plan_from(row)


def plan_from(row: sqlite3.Row) -> Plan:
    """The plan that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"plan {row['id']}"):
        return Plan(
            id=row["id"],
            study=row["study"],
            seed=row["seed"],
            looks=tuple(json.loads(row["looks"])),
            slots=tuple(Slot(**told) for told in json.loads(row["slots"])),
            note=row["note"],
            at=datetime.fromisoformat(row["at"]),
        )


def add_note(wb: Workbench, note: BenchNote) -> None:
    """Puts what somebody wrote beside a slot on record."""
    with wb.writing() as conn:
        number = insert(
            conn,
            "bench_notes",
            {
                "plan": note.plan,
                "slot": note.slot,
                "key": note.key,
                "value": note.value,
                "by": note.by,
                "at": note.at.isoformat(),
            },
        )
        seal(conn, "bench_notes", number)


def notes_of(wb: Workbench, plan_id: int) -> tuple[BenchNote, ...]:
    """What was written beside the slots of a plan, the first first."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM bench_notes WHERE plan = ? ORDER BY id", (plan_id,))
        return tuple(map(note_from, rows))


def note_from(row: sqlite3.Row) -> BenchNote:
    """The note that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"a note beside slot {row['slot']} of plan {row['plan']}"):
        return BenchNote(
            plan=row["plan"],
            slot=row["slot"],
            key=row["key"],
            value=row["value"],
            by=row["by"],
            at=datetime.fromisoformat(row["at"]),
        )
