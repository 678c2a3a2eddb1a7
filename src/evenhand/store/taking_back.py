"""Tables whose rows are only ever added to and may be taken back: such a row stays and counts no more.

Where there is a table for it, a row that was taken back may be put back, and taken back once more.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from evenhand.errors import NotFound
from evenhand.records.turns import Turn
from evenhand.store.lately import newest_day
from evenhand.store.rows import Row, as_text, insert, legible
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Ledger:
    """Such a table, and the one of what was taken back, whose column is called after the `noun`.

    `again` is the table of what was put back after that, or taken back once more; "" where there is none.
    """

    table: str
    back: str
    noun: str
    again: str = ""

    @property
    def standing(self) -> str:
        """The condition in SQL that a row counts."""
        never = f"id NOT IN (SELECT {self.noun} FROM {self.back})"  # noqa: S608
        if not self.again:
            return never
        last = f"(SELECT max(id) FROM {self.again} GROUP BY {self.noun})"  # noqa: S608
        put_back = f"SELECT {self.noun} FROM {self.again} WHERE counts AND id IN {last}"  # noqa: S608
        return f"({never} OR id IN ({put_back}))"

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
            if self.again and self._was_back(conn, number):
                self._reconsider(conn, number, counts=False, reason=reason or "", at=at)
                return row
            why = {} if reason is None else {"reason": reason}
            insert(conn, self.back, {self.noun: number, **why, "at": at.isoformat()})
            seal(conn, self.back, number)
        return row

    def put_back(self, wb: Workbench, number: int, *, at: datetime, todo: str, reason: str) -> sqlite3.Row:
        """The row, which counts again. Raises NotFound where none of this number is taken back."""
        with wb.writing() as conn:
            gone = f"SELECT * FROM {self.table} WHERE id = ? AND NOT {self.standing}"  # noqa: S608
            row: sqlite3.Row | None = conn.execute(gone, (number,)).fetchone()
            if row is None:
                raise NotFound(f"no {self.noun} {number} is taken back", where=str(wb.path), todo=todo)
            self._reconsider(conn, number, counts=True, reason=reason, at=at)
        return row

    def turns(self, conn: sqlite3.Connection) -> dict[int, tuple[Turn, ...]]:
        """By row each time that it was taken back or put back, the first first."""
        asked = f"SELECT {self.noun} AS of, 0 AS counts, reason, at, 0 AS nth FROM {self.back}"  # noqa: S608
        if self.again:
            asked += f" UNION ALL SELECT {self.noun}, counts, reason, at, id FROM {self.again}"  # noqa: S608
        rows = conn.execute(f"{asked} ORDER BY of, nth")
        found: dict[int, tuple[Turn, ...]] = {}
        for row in rows:
            with legible(f"what became of {self.noun} {row['of']}"):
                at = datetime.fromisoformat(row["at"])
            turn = Turn(counts=bool(row["counts"]), reason=row["reason"], at=at)
            found[row["of"]] = (*found.get(row["of"], ()), turn)
        return found

    def _was_back(self, conn: sqlite3.Connection, number: int) -> bool:
        ever = f"SELECT 1 FROM {self.back} WHERE {self.noun} = ?"  # noqa: S608
        return conn.execute(ever, (number,)).fetchone() is not None

    def _reconsider(
        self, conn: sqlite3.Connection, number: int, *, counts: bool, reason: str, at: datetime
    ) -> None:
        row: Row = {self.noun: number, "counts": int(counts), "reason": reason, "at": at.isoformat()}
        seal(conn, self.again, insert(conn, self.again, row))

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
