"""Files that came in by themselves, and what became of each: only ever added to."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import replace
from datetime import datetime

from evenhand.errors import NotFound
from evenhand.records.plans import Arrival, Placing
from evenhand.store.rows import as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

_LAST = "(SELECT max(id) FROM placings AS every WHERE every.arrival = {})"


def add_arrival(wb: Workbench, arrival: Arrival) -> Arrival:
    """Puts an arrival on record; its bytes must be kept already. The arrival with its number."""
    row = {
        "digest": arrival.digest,
        "name": arrival.name,
        "by": arrival.by,
        "about": as_text(arrival.about),
        "at": arrival.at.isoformat(),
    }
    with wb.writing() as conn:
        number = insert(conn, "arrivals", row)
        seal(conn, "arrivals", number)
    return replace(arrival, id=number)


def arrival(wb: Workbench, number: int) -> Arrival:
    """The arrival of this number. Raises NotFound."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM arrivals WHERE id = ?", (number,)).fetchone()
    if row is None:
        raise NotFound(f"nothing arrived under number {number}", where=str(wb.path), todo="see the inbox")
    return arrival_from(row)


def arrivals_of(wb: Workbench, digest: str) -> tuple[Arrival, ...]:
    """Every time these bytes came in, the first first."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM arrivals WHERE digest = ? ORDER BY id", (digest,))
        return tuple(map(arrival_from, rows))


def newest(wb: Workbench) -> int:
    """The number of the last arrival; 0 where nothing came in yet."""
    with wb.reading() as conn:
        return int(conn.execute("SELECT max(id) FROM arrivals").fetchone()[0] or 0)


def waiting(wb: Workbench) -> tuple[tuple[Arrival, Placing | None], ...]:
    """The inbox: arrivals that no run was made of and that nobody put away, the newest first.

    Beside each stands its last placing, which says why it waits.
    """
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT arrivals.*, last.id AS last FROM arrivals LEFT JOIN placings AS last"  # noqa: S608
            f" ON last.id = {_LAST.format('arrivals.id')}"
            " WHERE last.id IS NULL OR (last.run IS NULL AND NOT last.away) ORDER BY arrivals.id DESC"
        ).fetchall()
        return tuple((arrival_from(row), _placing(conn, row["last"])) for row in rows)


def add_placing(wb: Workbench, placing: Placing) -> None:
    """Puts what became of an arrival on record."""
    with wb.writing() as conn:
        number = insert(
            conn,
            "placings",
            {
                "arrival": placing.arrival,
                "study": placing.study,
                "run": placing.run,
                "plan": placing.plan,
                "slot": placing.slot,
                "away": int(placing.away),
                "note": placing.note,
                "by": placing.by,
                "at": placing.at.isoformat(),
            },
        )
        seal(conn, "placings", number)


def placings_of(wb: Workbench, number: int) -> tuple[Placing, ...]:
    """What became of one arrival, the first first; the last one stands."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM placings WHERE arrival = ? ORDER BY id", (number,))
        return tuple(map(placing_from, rows))


def placed_in_plan(wb: Workbench, plan_id: int) -> tuple[Placing, ...]:
    """The standing placings of the arrivals that were filed under slots of a plan, the first first."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT * FROM placings"  # noqa: S608
            f" WHERE plan = ? AND id = {_LAST.format('placings.arrival')} ORDER BY id",
            (plan_id,),
        )
        return tuple(map(placing_from, rows))


def moments_filed(wb: Workbench, study: str) -> dict[str, datetime]:
    """When each run of a study was first filed, by its id; of runs that came in by themselves."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT run, at FROM placings WHERE study = ? AND run IS NOT NULL ORDER BY id DESC", (study,)
        )
        with legible(f"the note when a run of '{study}' was filed"):
            return {row["run"]: datetime.fromisoformat(row["at"]) for row in rows}


def runs_filed(wb: Workbench, study: str) -> frozenset[str]:
    """The ids of a study's runs that came in by themselves and were filed under it."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT DISTINCT run FROM placings WHERE study = ? AND run IS NOT NULL", (study,))
        return frozenset(row["run"] for row in rows)


def _placing(conn: sqlite3.Connection, number: int | None) -> Placing | None:
    if number is None:
        return None
    return placing_from(conn.execute("SELECT * FROM placings WHERE id = ?", (number,)).fetchone())


def arrival_from(row: sqlite3.Row) -> Arrival:
    """The arrival that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"arrival {row['id']}"):
        return Arrival(
            id=row["id"],
            digest=row["digest"],
            name=row["name"],
            by=row["by"],
            about=dict(json.loads(row["about"])),
            at=datetime.fromisoformat(row["at"]),
        )


def placing_from(row: sqlite3.Row) -> Placing:
    """The placing that a row holds. Raises StoreProblem where it holds none."""
    with legible(f"what became of arrival {row['arrival']}"):
        return Placing(
            arrival=row["arrival"],
            study=row["study"],
            run=row["run"],
            plan=row["plan"],
            slot=row["slot"],
            away=bool(row["away"]),
            note=row["note"],
            by=row["by"],
            at=datetime.fromisoformat(row["at"]),
        )
