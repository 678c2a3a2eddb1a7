"""What triage found in each run, with the code version that looked."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from evenhand.records.faults import Fault, Place, Severity
from evenhand.store.rows import Row, Saved, as_text, legible, replace_all, upsert
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Triaged:
    """A run's faults (none is a finding too), and which code looked and when."""

    faults: tuple[Fault, ...]
    code_version: str
    at: datetime


def save_faults(
    wb: Workbench, run_id: str, faults: Sequence[Fault], *, code_version: str, now: datetime
) -> Saved:
    """Puts a run's faults in the place of earlier ones; the same ones by the same code are left alone."""
    with wb.writing() as conn:
        before = faults_of_run(wb, run_id)
        if before is not None and (before.faults, before.code_version) == (tuple(faults), code_version):
            return Saved.SAME
        about = {"run": run_id, "code_version": code_version, "at": now.isoformat()}
        upsert(conn, "triaged", about, key="run")
        rows = [{"position": at, **_row(fault)} for at, fault in enumerate(faults)]
        replace_all(conn, "faults", ("run", run_id), rows)
        for table in ("triaged", "faults"):
            seal(conn, table, run_id)
    return Saved.NEW if before is None else Saved.CHANGED


def faults_of(wb: Workbench, study: str) -> dict[str, Triaged]:
    """What was found in every triaged run of a study by run id, in one query."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT triaged.run AS of_run, code_version, at, faults.*"
            " FROM study_runs JOIN triaged ON triaged.run = study_runs.run"
            " LEFT JOIN faults ON faults.run = triaged.run"
            " WHERE study_runs.study = ? ORDER BY study_runs.id, position",
            (study,),
        )
        by_run = groupby(rows, key=lambda row: str(row["of_run"]))
        return {run_id: _triaged(list(mine)) for run_id, mine in by_run}


def faults_of_run(wb: Workbench, run_id: str) -> Triaged | None:
    """What was found in one run; None where it has not been triaged."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT triaged.run AS of_run, code_version, at, faults.*"
            " FROM triaged LEFT JOIN faults ON faults.run = triaged.run"
            " WHERE triaged.run = ? ORDER BY position",
            (run_id,),
        ).fetchall()
    return _triaged(rows) if rows else None


def unjudged_tests(wb: Workbench) -> tuple[tuple[str, str], ...]:
    """Studies and tests of which a run has not been triaged, in the order in which the first of each came."""
    with wb.reading() as conn:
        rows = conn.execute(
            "SELECT study_runs.study, runs.test FROM study_runs JOIN runs ON runs.id = study_runs.run"
            " LEFT JOIN triaged ON triaged.run = study_runs.run WHERE triaged.run IS NULL"
            " GROUP BY study_runs.study, runs.test ORDER BY min(study_runs.id)"
        )
        return tuple((str(row["study"]), str(row["test"])) for row in rows)


def _triaged(rows: list[sqlite3.Row]) -> Triaged:
    faults = tuple(fault_from(row) for row in rows if row["position"] is not None)
    with legible(f"the note when run {rows[0]['of_run']} was judged"):
        at = datetime.fromisoformat(rows[0]["at"])
    return Triaged(faults=faults, code_version=rows[0]["code_version"], at=at)


def _row(fault: Fault) -> Row:
    return {
        "kind": fault.kind,
        "title": fault.title,
        "severity": fault.severity.value,
        "evidence": fault.evidence,
        "todo": fault.todo,
        "numbers": as_text(fault.numbers),
        "places": as_text([(place.from_s, place.to_s) for place in fault.places]),
        "siblings": as_text(fault.siblings),
        "behaviour": int(fault.behaviour),
    }


def fault_from(row: sqlite3.Row) -> Fault:
    """The fault that a row of `faults` holds. Raises StoreProblem where it holds none."""
    with legible(f"a fault of run {row['run']}"):
        places = json.loads(row["places"])
        return Fault(
            kind=row["kind"],
            title=row["title"],
            severity=Severity(row["severity"]),
            evidence=row["evidence"],
            todo=row["todo"],
            # Text stands where JSON has no spelling for the number: "inf", "nan".
            numbers={key: float(number) for key, number in json.loads(row["numbers"]).items()},
            places=tuple(Place(from_s=float(start), to_s=float(end)) for start, end in places),
            siblings=tuple(json.loads(row["siblings"])),
            behaviour=bool(row["behaviour"]),
        )
