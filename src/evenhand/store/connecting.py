"""One way to connect to a workbench file, with the settings that every connection has."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from evenhand.store.problems import damaged

WAIT_S = 10.0  # how long a step waits for another process before it gives up


def connect(path: Path, *, mode: str, wait_s: float = WAIT_S) -> sqlite3.Connection:
    """A connection in autocommit mode with the settings every connection has; `mode` as in SQLite's URIs."""
    conn = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}",
        uri=True,
        isolation_level=None,
        check_same_thread=False,
        timeout=wait_s,
    )
    conn.row_factory = sqlite3.Row
    try:
        for pragma in ("foreign_keys = ON", "recursive_triggers = ON", "synchronous = FULL"):
            conn.execute(f"PRAGMA {pragma}")
    except UnicodeDecodeError as error:
        # A damaged schema may hold bytes that are no text, and sqlite3 then fails to say even that.
        conn.close()
        raise damaged(path) from error
    except BaseException:
        conn.close()
        raise
    return conn
