"""Frozen results: what a study said, with the code version and the hash of everything that went in."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import datetime

from evenhand.errors import StoreProblem
from evenhand.store.rows import insert, legible
from evenhand.store.seals import digest_of, seal
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Frozen:
    """One frozen result. `body` is JSON text as the caller wrote it."""

    id: int
    study: str
    code_version: str
    input_hash: str
    body: str
    at: datetime


def freeze(
    wb: Workbench, study: str, *, code_version: str, input_hash: str, body: str, at: datetime
) -> Frozen:
    """Freezes a result; where an identical one is on record already, that one is returned, with its date."""
    new = {
        "study": study,
        "code_version": code_version,
        "input_hash": input_hash,
        "body": body,
        "at": at.isoformat(),
    }
    with wb.writing() as conn:
        same = conn.execute(
            "SELECT * FROM results WHERE study = :study AND input_hash = :input_hash"
            " AND code_version = :code_version AND body = :body",
            new,
        ).fetchone()
        if same is not None:
            return _frozen(same)
        number = insert(conn, "results", new)
        seal(conn, "results", number)
        return _frozen(conn.execute("SELECT * FROM results WHERE id = ?", (number,)).fetchone())


def results_of(wb: Workbench, study: str) -> tuple[Frozen, ...]:
    """The frozen results of a study, the first first."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT * FROM results WHERE study = ? ORDER BY id", (study,))
        return tuple(_frozen(row) for row in rows)


def refuse_changed(wb: Workbench, frozen: Frozen) -> None:
    """Raises StoreProblem where a frozen result is not what was frozen."""
    with wb.reading() as conn:
        row = conn.execute("SELECT * FROM results WHERE id = ?", (frozen.id,)).fetchone()
        sealed = conn.execute(
            "SELECT digest FROM seals WHERE \"table\" = 'results' AND key = ?", (str(frozen.id),)
        ).fetchone()
    if row is None or sealed is None or sealed["digest"] != digest_of([row]):
        raise damaged_result(wb, frozen, "is not what was frozen")


def damaged_result(wb: Workbench, frozen: Frozen, what: str) -> StoreProblem:
    """The words for a frozen result that cannot be shown."""
    return StoreProblem(
        f"the frozen result {frozen.id} of '{frozen.study}' {what}",
        where=str(wb.path),
        todo="run `evenhand check` to see what is affected, and go on from a backup",
    )


def same_result(wb: Workbench, study: str, *, code_version: str, input_hash: str, body: str) -> Frozen | None:
    """The frozen result that holds just this, if it is on record."""
    for each in results_of(wb, study):
        if (each.code_version, each.input_hash, each.body) == (code_version, input_hash, body):
            return each
    return None


def _frozen(row: sqlite3.Row) -> Frozen:
    with legible(f"the frozen result {row['id']}"):
        return Frozen(**{**dict(row), "at": datetime.fromisoformat(row["at"])})
