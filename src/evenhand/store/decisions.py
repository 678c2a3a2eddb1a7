"""Decisions about runs: only ever added to; the latest one stands."""

from __future__ import annotations

import json
import sqlite3
from datetime import datetime
from functools import lru_cache
from typing import Any

from evenhand.records.faults import Ground, Severity
from evenhand.records.runs import Decision, Reason, RunState
from evenhand.store.rows import as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

_COLUMNS = ("run", "at", "state", "reason", "note", "over", "masked", "grounds")
_OF_A_STUDY = (
    f"SELECT {', '.join(f'decisions.{column}' for column in _COLUMNS)}"  # noqa: S608
    " FROM study_runs JOIN decisions ON decisions.run = study_runs.run"
    " WHERE study_runs.study = ? ORDER BY decisions.id"
)


def add_decision(wb: Workbench, decision: Decision) -> None:
    """Puts a decision on record. Raises BadRecord where its run is not."""
    with wb.writing() as conn:
        number = insert(
            conn,
            "decisions",
            {
                "run": decision.run,
                "at": decision.at.isoformat(),
                "state": decision.state.value,
                "reason": None if decision.reason is None else decision.reason.value,
                "note": decision.note,
                "over": as_text(decision.over),
                "masked": int(decision.masked),
                "grounds": as_text(decision.grounds),
            },
        )
        seal(conn, "decisions", number)


def decisions_of_run(wb: Workbench, run_id: str) -> tuple[Decision, ...]:
    """All decisions about a run, the first first."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM decisions WHERE run = ? ORDER BY id", (run_id,))
        return tuple(decision_from(row) for row in rows)


def decisions_of(wb: Workbench, study: str) -> tuple[Decision, ...]:
    """All decisions about the runs of a study, the first first."""
    with wb.reading() as conn:
        rows = conn.execute(_OF_A_STUDY, (study,))
        return tuple(decision_from(row) for row in rows)


def latest_decisions(wb: Workbench, study: str) -> dict[str, Decision]:
    """The decision that stands for each run of a study that has one, by run id."""
    with wb.reading() as conn:
        rows = conn.execute(_OF_A_STUDY, (study,))
        # Later ones overwrite earlier ones here: a run has a handful at most.
        return {run: _read(*its) for run, its in {row[0]: row for row in rows}.items()}


def decision_from(row: sqlite3.Row) -> Decision:
    """The decision that a row of `decisions` holds. Raises StoreProblem where it holds none."""
    return _read(*(row[column] for column in _COLUMNS))


@lru_cache(maxsize=4096)  # what the same words say is the same, and a study is read again after each decision
def _read(
    run: str, at: str, state: str, reason: str | None, note: str, over: str, masked: int, grounds: str, /
) -> Decision:
    with legible(f"a decision about run {run}"):
        return Decision(
            run=run,
            at=datetime.fromisoformat(at),
            state=RunState(state),
            reason=None if reason is None else Reason(reason),
            note=note,
            over=tuple(json.loads(over)),
            masked=bool(masked),
            grounds=tuple(map(_ground, json.loads(grounds))),
        )


def _ground(told: dict[str, Any]) -> Ground:
    return Ground(
        kind=told["kind"],
        title=told["title"],
        severity=Severity(told["severity"]),
        evidence=told["evidence"],
        # Text stands where JSON has no spelling for the number: "inf", "nan".
        numbers={key: float(number) for key, number in told["numbers"].items()},
    )
