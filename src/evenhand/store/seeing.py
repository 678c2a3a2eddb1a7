"""How a workbench is read where it may not be written: as it stands, or through a copy that may be."""

from __future__ import annotations

import os
import shutil
import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from evenhand.errors import StoreProblem
from evenhand.store.connecting import connect
from evenhand.store.problems import primary_code

TRIES = 3  # how often a copy is begun anew because somebody was writing meanwhile


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """The file that is read for a workbench, and how SQLite opens it; `copy` is the folder of a copy."""

    file: Path
    mode: str
    copy: TemporaryDirectory[str] | None = None

    def let_go(self) -> None:
        """Removes the copy, if there is one."""
        if self.copy is not None:
            self.copy.cleanup()


def may_be_written(path: Path) -> bool:
    """Whether the file, if there is one, and its folder allow writing."""
    ourselves = os.access in os.supports_effective_ids
    return not path.exists() or all(
        os.access(place, os.W_OK, effective_ids=ourselves) for place in (path, path.parent)
    )


def way_to_read(path: Path) -> Seen:
    """How a file that is there is to be read; whoever asks lets go of it in the end.

    SQLite makes files of its own beside a file with a write-ahead log; a read-only copy stands still and can
    do without. Where a log holds changes they must not be passed over: where SQLite cannot read them in
    place, file and log are copied to a temporary folder and read there. Raises StoreProblem where they
    cannot be.
    """
    if may_be_written(path):
        return Seen(file=path, mode="rw")
    log = log_of(path)
    if not (log.exists() and log.stat().st_size):
        return Seen(file=path, mode="ro&immutable=1")
    return Seen(file=path, mode="ro") if _opens(path) else _copied(path)


def log_of(path: Path) -> Path:
    """The write-ahead log of a workbench."""
    return path.with_name(path.name + "-wal")


def _opens(path: Path) -> bool:
    try:
        with closing(connect(path, mode="ro")) as conn:
            conn.execute("SELECT 1 FROM sqlite_schema LIMIT 1").fetchone()
    except sqlite3.OperationalError as error:
        return primary_code(error) not in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY)
    return True


def _copied(path: Path) -> Seen:
    """A copy with its log folded in, in a folder of its own."""
    folder = TemporaryDirectory(prefix="evenhand-")
    try:
        copy = _both(path, Path(folder.name))
        with closing(connect(copy, mode="rw")) as conn:
            conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    except OSError as error:
        folder.cleanup()
        raise StoreProblem(
            f"changes are left in {log_of(path).name}, and no copy to read can be made ({error.strerror})",
            where=str(path),
            todo="copy both files to a folder that may be written to, and open the copy",
        ) from error
    except BaseException:
        folder.cleanup()
        raise
    return Seen(file=copy, mode="ro&immutable=1", copy=folder)


def _both(path: Path, folder: Path) -> Path:
    """File and log, copied while neither changes."""
    copy = folder / path.name
    for _ in range(TRIES):
        before = _state(path)
        shutil.copyfile(path, copy)
        shutil.copyfile(log_of(path), log_of(copy))
        if _state(path) == before:
            return copy
    raise StoreProblem(
        "somebody is writing to this workbench, and it may only be read here",
        where=str(path),
        todo="try again when they are done",
    )


def _state(path: Path) -> list[tuple[int, int]]:
    return [(each.st_size, each.st_mtime_ns) for each in (path.stat(), log_of(path).stat())]
