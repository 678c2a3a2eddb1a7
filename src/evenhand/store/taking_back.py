"""Tables whose rows are only ever added to and may be taken back: such a row stays and counts no more."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from datetime import datetime

from evenhand.errors import NotFound
from evenhand.store.rows import Row, insert
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """Such a table, and the one of what was taken back, whose column is called after the `noun`."""

    table: str
    back: str
    noun: str

    @property
    def standing(self) -> str:
        """The condition in SQL that a row counts."""
        return f"id NOT IN (SELECT {self.noun} FROM {self.back})"  # noqa: S608

    def add(self, conn: sqlite3.Connection, row: Row) -> int:
        """Adds a row under a seal; its number."""
        number = insert(conn, self.table, row)
        seal(conn, self.table, number)
        return number

    def take_back(self, wb: Workbench, number: int, *, at: datetime, todo: str) -> sqlite3.Row:
        """The row, which counts no more. Raises NotFound where none of this number counts."""
        with wb.writing() as conn:
            counting = f"SELECT * FROM {self.table} WHERE id = ? AND {self.standing}"  # noqa: S608
            row: sqlite3.Row | None = conn.execute(counting, (number,)).fetchone()
            if row is None:
                raise NotFound(f"there is no {self.noun} {number}", where=str(wb.path), todo=todo)
            insert(conn, self.back, {self.noun: number, "at": at.isoformat()})
            seal(conn, self.back, number)
        return row
