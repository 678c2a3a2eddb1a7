"""Backup and check of a workbench."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from evenhand.errors import StoreProblem
from evenhand.store.broken_schema import of_schema
from evenhand.store.broken_seals import of_seals
from evenhand.store.connecting import connect
from evenhand.store.migrations import APPLICATION_ID, MIGRATIONS, refuse_strangers, version
from evenhand.store.problems import explained, primary_code, tells_of_damage, told
from evenhand.store.seeing import way_to_read
from evenhand.store.soundness import (
    any_text,
    keys,
    of_migrations,
    of_original,
    of_records,
    of_references,
    of_structure,
    of_trace,
)
from evenhand.store.workbench import Workbench, look_at

Progress = Callable[[int, int], None]

_PAGES = 512  # copied at one go: small enough that a progress bar moves


@dataclass(frozen=True, slots=True, kw_only=True)
class CheckReport:
    """What a check looked at and what it found wrong; `problems` are sentences.

    `version` is 0 where the file is so damaged that its schema cannot be read. One that is `behind` is
    brought up by the next opening that may write, and sealed then.
    """

    path: Path
    version: int
    originals: int
    traces: int
    problems: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether nothing was found wrong."""
        return not self.problems

    @property
    def behind(self) -> bool:
        """Whether the schema is an earlier one than this code's."""
        return 0 < self.version < MIGRATIONS[-1].number


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
            if primary_code(error) in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM):
                raise StoreProblem(
                    "the copy cannot be written there",
                    where=str(target),
                    todo="choose another place for the copy, in a folder that may be written to",
                ) from error
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

    `progress` is told originals and traces done and in all. A workbench that is too damaged to be opened
    is a report too. Raises StoreProblem where the file is no workbench, or may not be read.
    """
    look_at(path, create=False)
    try:
        with told(path), _seen(path) as conn:
            refuse_strangers(conn, path)
            conn.text_factory = any_text
            return _looked_through(conn, path, progress or (lambda _done, _total: None))
    except StoreProblem as problem:
        if not (tells_of_damage(problem) and _bears_our_mark(path)):
            raise
    return CheckReport(path=path, version=0, originals=0, traces=0, problems=(_beyond_opening(path),))


@contextmanager
def _seen(path: Path) -> Iterator[sqlite3.Connection]:
    seen = way_to_read(path)
    try:
        with closing(connect(seen.file, mode=seen.mode)) as conn:
            yield conn
    finally:
        seen.let_go()


def _bears_our_mark(path: Path) -> bool:
    """Whether the file's header, whatever comes after it, says that it is a workbench."""
    with path.open("rb") as file:
        return file.read(72)[68:] == APPLICATION_ID.to_bytes(4, "big")


def _beyond_opening(path: Path) -> str:
    """What is wrong with a file that cannot be opened: cut off where it is shorter than its header says."""
    with path.open("rb") as file:
        header = file.read(32)
    page_bytes, pages = int.from_bytes(header[16:18], "big"), int.from_bytes(header[28:32], "big")
    should, has = pages * page_bytes, path.stat().st_size
    if has < should:
        return f"the file is cut off: it has {has:,} of {should:,} bytes, and can no longer be opened"
    return "the file is so damaged that it can no longer be opened"


def _looked_through(conn: sqlite3.Connection, path: Path, progress: Progress) -> CheckReport:
    problems = [*of_structure(conn), *of_references(conn), *of_migrations(conn), *of_schema(conn)]
    problems += of_records(conn)
    digests = keys(conn, "originals", "digest", problems)
    run_ids = keys(conn, "traces", "run", problems)
    total = len(digests) + len(run_ids)
    for done, digest in enumerate(digests, start=1):
        problems += of_original(conn, digest)
        progress(done, total)
    for done, run_id in enumerate(run_ids, start=len(digests) + 1):
        problems += of_trace(conn, run_id)
        progress(done, total)
    problems += of_seals(conn, known=problems)
    return CheckReport(
        path=path,
        version=version(conn),
        originals=len(digests),
        traces=len(run_ids),
        problems=tuple(problems),
    )
