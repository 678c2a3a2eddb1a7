"""Packed traces by run; `evenhand.traces.codec` packs and unpacks them."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable

from evenhand.errors import NotFound
from evenhand.store.rows import Saved, upsert
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


def save_trace(wb: Workbench, run_id: str, packed: bytes) -> Saved:
    """Keeps a run's packed trace, in the place of an earlier one: its original remains the witness."""
    with wb.writing() as conn:
        row = conn.execute("SELECT packed FROM traces WHERE run = ?", (run_id,)).fetchone()
        if row is not None and row["packed"] == packed:
            return Saved.SAME
        upsert(conn, "traces", {"run": run_id, "packed": packed}, key="run")
        seal(conn, "traces", run_id)
    return Saved.NEW if row is None else Saved.CHANGED


def packed_trace(wb: Workbench, run_id: str) -> bytes:
    """A run's packed trace. Raises NotFound where it has none (a score run, or an unreadable log)."""
    return packed_traces(wb, [run_id])[run_id]


def packed_traces(wb: Workbench, run_ids: Iterable[str]) -> dict[str, bytes]:
    """The packed traces of several runs, from one view of the file. Raises NotFound where one has none."""
    with wb.reading() as conn:
        return {run_id: _packed(conn, run_id, wb) for run_id in run_ids}


def _packed(conn: sqlite3.Connection, run_id: str, wb: Workbench) -> bytes:
    row = conn.execute("SELECT packed FROM traces WHERE run = ?", (run_id,)).fetchone()
    if row is None:
        raise NotFound(f"run '{run_id}' has no trace", where=str(wb.path), todo="name a run with a frame log")
    return bytes(row["packed"])
