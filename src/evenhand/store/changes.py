"""Whether anybody has changed the workbench since we last looked, in this process or another."""

from __future__ import annotations

from evenhand.store.connecting import connect
from evenhand.store.workbench import Workbench


class ChangeMeter:
    """Counts on whenever somebody has stored something; costs next to nothing to ask.

    Keeps a connection of its own, since a connection is told of others' changes only. To be asked by one
    thread at a time, whichever.
    """

    __slots__ = ("_conn",)

    def __init__(self, wb: Workbench) -> None:
        self._conn = connect(wb.path, mode="ro", wait_s=1.0)

    def read(self) -> int:
        """A number that is another one after every change."""
        return int(self._conn.execute("PRAGMA data_version").fetchone()[0])

    def close(self) -> None:
        """Lets go of the file."""
        self._conn.close()
