"""The numbers of runs by definition key, with the code version that worked them out."""

from __future__ import annotations

import math
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from itertools import groupby
from operator import itemgetter

from evenhand.metrics.run_metrics import RunMetrics
from evenhand.store.rows import Row, Saved, legible, replace_all, upsert
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A run's numbers, and which code worked them out and when."""

    metrics: RunMetrics
    code_version: str
    at: datetime


def save_metrics(
    wb: Workbench, run_id: str, metrics: RunMetrics, *, code_version: str, now: datetime
) -> Saved:
    """Puts a run's numbers in the place of earlier ones; the same ones by the same code are left alone."""
    with wb.writing() as conn:
        before = metrics_of_run(wb, run_id)
        if before is not None and (before.metrics, before.code_version) == (metrics, code_version):
            return Saved.SAME
        about = {"run": run_id, "code_version": code_version, "at": now.isoformat()}
        upsert(conn, "measured", about, key="run")
        replace_all(conn, "metrics", ("run", run_id), _rows(metrics))
        for table in ("measured", "metrics"):
            seal(conn, table, run_id)
    return Saved.NEW if before is None else Saved.CHANGED


def metrics_of(wb: Workbench, study: str) -> dict[str, Measured]:
    """The numbers of every measured run of a study by run id, in one query."""
    with wb.reading() as conn:
        rows = _plainly(conn).execute(
            "SELECT measured.run, code_version, at, key, value, low, high, absent"
            " FROM study_runs JOIN measured ON measured.run = study_runs.run"
            " LEFT JOIN metrics ON metrics.run = measured.run"
            " WHERE study_runs.study = ? ORDER BY study_runs.id, key",
            (study,),
        )
        by_run = groupby(rows, key=itemgetter(0))
        return {str(run_id): _measured(mine, of=str(run_id)) for run_id, mine in by_run}


def metrics_of_run(wb: Workbench, run_id: str) -> Measured | None:
    """The numbers of one run; None where it has not been measured."""
    with wb.reading() as conn:
        rows = (
            _plainly(conn)
            .execute(
                "SELECT measured.run, code_version, at, key, value, low, high, absent"
                " FROM measured LEFT JOIN metrics ON metrics.run = measured.run WHERE measured.run = ?",
                (run_id,),
            )
            .fetchall()
        )
    return _measured(rows, of=run_id) if rows else None


def _rows(metrics: RunMetrics) -> Iterable[Row]:
    for key, value in metrics.values.items():
        low, high = metrics.within_run.get(key, (None, None))
        # SQLite knows no NaN; a row without value and without reason stands for it.
        yield {
            "key": key,
            "value": None if math.isnan(value) else value,
            "low": low,
            "high": high,
            "absent": None,
        }
    for key, reason in metrics.absent.items():
        yield {"key": key, "value": None, "low": None, "high": None, "absent": reason}


_Told = tuple[str, str, str, str | None, float | None, float | None, float | None, str | None]


def _plainly(conn: sqlite3.Connection) -> sqlite3.Cursor:
    """A cursor that gives bare tuples: a study of a thousand runs has some twenty thousand numbers."""
    cursor = conn.cursor()
    cursor.row_factory = None
    return cursor


def _measured(rows: Iterable[_Told], *, of: str) -> Measured:
    """The numbers of one run from its rows, of which there is at least one."""
    values: dict[str, float] = {}
    within: dict[str, tuple[float, float]] = {}
    reasons: dict[str, str] = {}
    version = at = ""
    for row in rows:
        _, version, at, key, value, low, high, absent = row
        if key is None:
            continue
        if absent is not None:
            reasons[key] = absent
            continue
        values[key] = math.nan if value is None else value
        if low is not None and high is not None:
            within[key] = (low, high)
    metrics = RunMetrics(values=values, within_run=within, absent=reasons)
    with legible(f"the note when run {of} was measured"):
        return Measured(metrics=metrics, code_version=version, at=datetime.fromisoformat(at))
