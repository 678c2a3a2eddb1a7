"""What was read of a workbench lately, kept as long as nobody, here or elsewhere, has changed the file."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Hashable
from pathlib import Path
from typing import TypeVar, cast

from evenhand.store.connecting import connect

T = TypeVar("T")


class Lately:
    """Answers by key, all forgotten with the next change of the file, whoever made it.

    SQLite itself says whether there was one: its data version, as a connection sees it that never writes.
    """

    __slots__ = ("_conn", "_found", "_path", "_turn", "_version")

    def __init__(self, path: Path) -> None:
        self._path = path
        self._conn: sqlite3.Connection | None = None
        self._version = -1
        self._found: dict[Hashable, object] = {}
        self._turn = threading.RLock()

    def have(self, key: Hashable, work: Callable[[], T]) -> T:
        """What `work` gives, or gave since the last change. Who asks meanwhile waits for the one answer."""
        with self._turn:
            # Asked before the work is done: a change during it makes the answer a forgotten one at once.
            now = self._asked()
            if now != self._version:
                self._found, self._version = {}, now
            if key not in self._found:
                self._found[key] = work()
            return cast("T", self._found[key])

    def _asked(self) -> int:
        if self._conn is None:
            self._conn = connect(self._path, mode="ro", wait_s=1.0)
        return int(self._conn.execute("PRAGMA data_version").fetchone()[0])

    def close(self) -> None:
        """Lets go of the file and of all that was kept."""
        with self._turn:
            self._found = {}
            if self._conn is not None:
                self._conn.close()
                self._conn = None
