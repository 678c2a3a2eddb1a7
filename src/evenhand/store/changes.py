"""Whether anybody has changed the workbench since we last looked, in this process or another."""

from __future__ import annotations

import sqlite3
import threading
import time
from contextlib import suppress
from pathlib import Path

from evenhand.store.connecting import connect


class ChangeMeter:
    """Counts on whenever somebody has stored something; costs next to nothing to ask.

    SQLite itself says so: its data version, as a connection sees it that never writes. Counts begin at the
    microsecond of the opening, so that none is one of an earlier opening. Threads take turns.
    """

    __slots__ = ("_begin", "_closed", "_conn", "_last", "_path", "_turn")

    def __init__(self, path: Path) -> None:
        self._path = path
        self._conn: sqlite3.Connection | None = None
        self._begin = time.time_ns() // 1000
        self._last, self._closed = self._begin, False
        self._turn = threading.Lock()

    def ask(self) -> int:
        """Larger after every change. Raises sqlite3.OperationalError while the file is kept waiting."""
        # Whoever reads may be left to run on when the site is closed: never on a closed connection.
        with self._turn:
            if not self._closed:
                if self._conn is None:
                    self._conn = connect(self._path, mode="ro", wait_s=1.0)
                self._last = self._begin + int(self._conn.execute("PRAGMA data_version").fetchone()[0])
            return self._last

    def read(self) -> int:
        """The same; the last one while the file is kept waiting: the next look counts what this missed."""
        with suppress(sqlite3.OperationalError):
            return self.ask()
        return self._last

    def close(self) -> None:
        """Lets go of the file; what was read last is read ever after."""
        with self._turn:
            self._closed = True
            if self._conn is not None:
                self._conn.close()
