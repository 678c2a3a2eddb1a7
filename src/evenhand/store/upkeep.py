"""Backup and check of a workbench."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from evenhand.errors import StoreProblem
from evenhand.store.migrations import refuse_strangers, version
from evenhand.store.problems import explained, told
from evenhand.store.soundness import (
    keys,
    of_migrations,
    of_original,
    of_records,
    of_references,
    of_structure,
    of_trace,
)
from evenhand.store.workbench import Workbench, connect, look_at

Progress = Callable[[int, int], None]

_PAGES = 512  # copied at one go: small enough that a progress bar moves


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckReport:
    """What a check looked at and what it found wrong; `problems` are sentences."""

    path: Path
    version: int
    originals: int
    traces: int
    problems: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing was found wrong."""
        return not self.problems


def backup(wb: Workbench, target: Path, *, progress: Progress | None = None) -> None:
    """Copies the workbench as it stands now, while others may go on using it.

    The copy appears under its name only when it is whole. `progress` is told pages done and in all.
    Raises StoreProblem where something is there already, or where the copy cannot be written.
    """
    _refuse_taken(target)
    with _whole_or_nothing(target) as draft, wb.reading() as source:
        try:
            copy = connect(draft, mode="rwc")
            try:
                source.backup(copy, pages=_PAGES, progress=_pages_told(progress))
                # Without a write-ahead log a copy can be read where nothing may be written.
                copy.execute("PRAGMA journal_mode = DELETE")
            finally:
                copy.close()
        except sqlite3.Error as error:
            raise explained(error, target) from error


def _pages_told(progress: Progress | None) -> Callable[[int, int, int], None] | None:
    if progress is None:
        return None
    return lambda _status, remaining, total: progress(total - remaining, total)


def _refuse_taken(target: Path) -> None:
    # A log left beside a name would be replayed into the copy that takes that name.
    for name in (target.name, f"{target.name}-wal", f"{target.name}-journal"):
        if target.with_name(name).exists():
            raise StoreProblem(
                f"{name} is there already", where=str(target), todo="choose another name, or move it away"
            )


@contextmanager
def _whole_or_nothing(target: Path) -> Iterator[Path]:
    """A draft beside the target that takes its name when the block ends well, and is removed when not."""
    draft = target.with_name(f".{target.name}.draft-{os.getpid()}")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        yield draft
        draft.replace(target)
        _settle(target.parent)
    except OSError as error:
        raise StoreProblem(
            f"the copy cannot be written ({error.strerror})",
            where=str(target),
            todo="see that the folder may be written to and has room",
        ) from error
    finally:
        with suppress(OSError):
            draft.unlink()


def _settle(folder: Path) -> None:
    """Asks the disk to remember the new name; only where folders can be opened (not on Windows)."""
    if os.name == "posix":
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def check(path: Path, *, progress: Progress | None = None) -> CheckReport:
    """Reads everything in a workbench and says what is wrong. Changes no record.

    `progress` is told originals and traces done and in all. Raises StoreProblem where the file cannot
    be opened as a workbench at all.
    """
    look_at(path, create=False)
    with told(path):
        conn = connect(path, mode=_reading_mode(path))
        try:
            refuse_strangers(conn, path)
            return _looked_through(conn, path, progress or (lambda _done, _total: None))
        finally:
            conn.close()


def _reading_mode(path: Path) -> str:
    # SQLite reads a file with a write-ahead log only where it may write; a read-only copy stands still.
    return "rw" if os.access(path, os.W_OK) and os.access(path.parent, os.W_OK) else "ro&immutable=1"


def _looked_through(conn: sqlite3.Connection, path: Path, progress: Progress) -> CheckReport:
    problems = [*of_structure(conn), *of_references(conn), *of_migrations(conn), *of_records(conn)]
    digests = keys(conn, "originals", "digest", problems)
    run_ids = keys(conn, "traces", "run", problems)
    total = len(digests) + len(run_ids)
    for done, digest in enumerate(digests, start=1):
        problems += of_original(conn, digest)
        progress(done, total)
    for done, run_id in enumerate(run_ids, start=len(digests) + 1):
        problems += of_trace(conn, run_id)
        progress(done, total)
    return CheckReport(
        path=path,
        version=version(conn),
        originals=len(digests),
        traces=len(run_ids),
        problems=tuple(problems),
    )
