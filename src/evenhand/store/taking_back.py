"""Tables whose rows are only ever added to and may be taken back: such a row stays and counts no more."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from evenhand.errors import NotFound
from evenhand.store.lately import newest_day
from evenhand.store.rows import Row, as_text, insert
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

    def take_back(
        self, wb: Workbench, number: int, *, at: datetime, todo: str, reason: str | None = None
    ) -> sqlite3.Row:
        """The row, which counts no more, with a `reason` where its table has one.

        Raises NotFound where none of this number counts.
        """
        with wb.writing() as conn:
            counting = f"SELECT * FROM {self.table} WHERE id = ? AND {self.standing}"  # noqa: S608
            row: sqlite3.Row | None = conn.execute(counting, (number,)).fetchone()
            if row is None:
                raise NotFound(f"there is no {self.noun} {number}", where=str(wb.path), todo=todo)
            why = {} if reason is None else {"reason": reason}
            insert(conn, self.back, {self.noun: number, **why, "at": at.isoformat()})
            seal(conn, self.back, number)
        return row

    def stands(self, wb: Workbench, number: int) -> bool:
        """Whether a row of this number counts."""
        with wb.reading() as conn:
            counting = f"SELECT 1 FROM {self.table} WHERE id = ? AND {self.standing}"  # noqa: S608
            return conn.execute(counting, (number,)).fetchone() is not None

    def before_their_day(self, wb: Workbench, numbers: Iterable[int]) -> frozenset[int]:
        """Those of these rows that were written down before their day, which is still to come.

        A day has come once it has begun anywhere on earth, by the clock of the workbench.
        """
        with wb.reading() as conn:
            rows = conn.execute(
                # Whatever the zone of the clock it was written by, its day is later than that showed.
                f'SELECT id, "on", at FROM {self.table} WHERE "on" > substr(at, 1, 10) '  # noqa: S608
                "AND id IN (SELECT value FROM json_each(?))",
                (as_text(tuple(numbers)),),
            )
            today = wb.newest_day()
            return frozenset(
                row["id"]
                for row in rows
                if max(today, newest_day(datetime.fromisoformat(row["at"]))) < date.fromisoformat(row["on"])
            )

    def rows_of(
        self, conn: sqlite3.Connection, owner: str, keys: Iterable[str], *, ever: bool, order: str
    ) -> list[sqlite3.Row]:
        """The rows whose `owner` is among the keys, in this order; with `ever` those taken back, too."""
        counting = "1" if ever else self.standing
        among = f"{owner} IN (SELECT value FROM json_each(?)) AND {counting}"  # noqa: S608
        asked = f"SELECT * FROM {self.table} WHERE {among} ORDER BY {order}"  # noqa: S608
        return conn.execute(asked, (as_text(tuple(keys)),)).fetchall()
