"""Whether anybody has changed the workbench since we last looked, in this process or another."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import suppress

from evenhand.store.connecting import connect
from evenhand.store.workbench import Workbench


class ChangeMeter:
    """Counts on whenever somebody has stored something; costs next to nothing to ask.

    Keeps a connection of its own, since a connection is told of others' changes only. Threads take turns.
    """

    __slots__ = ("_conn", "_last", "_open", "_turn")

    def __init__(self, wb: Workbench) -> None:
        self._conn = connect(wb.path, mode="ro", wait_s=1.0)
        self._last, self._open = 0, True
        self._turn = threading.Lock()

    def read(self) -> int:
        """A number that is another one after every change; the last one while the file cannot be read."""
        # Whoever reads may be left to run on when the site is closed: never on a closed connection.
        with self._turn:
            # Nor may a file that is kept waiting end the watch: the next look counts what this one missed.
            if self._open:
                with suppress(sqlite3.OperationalError):
                    self._last = int(self._conn.execute("PRAGMA data_version").fetchone()[0])
            return self._last

    def close(self) -> None:
        """Lets go of the file; what was read last is read ever after."""
        with self._turn:
            self._open = False
            self._conn.close()
