"""What SQLite reports, said once in words with what to do next."""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from evenhand.errors import StoreProblem

# Primary result codes of SQLite and what they mean to somebody at the bench.
_WORDS = {
    sqlite3.SQLITE_BUSY: (
        "another program is writing to the workbench and has not finished",
        "wait until it is done, or close it, and try again",
    ),
    sqlite3.SQLITE_LOCKED: (
        "another part of this program is writing to the workbench",
        "wait until it is done and try again",
    ),
    sqlite3.SQLITE_READONLY: (
        "the workbench may be read but not written here",
        "allow writing to the file and its folder, or choose another place with --workbench",
    ),
    sqlite3.SQLITE_PERM: (
        "the system refuses access to the workbench",
        "allow reading and writing the file and its folder",
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "the workbench cannot be opened, or its folder cannot be written to",
        "see that the folder exists and may be written to, or choose another place with --workbench",
    ),
    sqlite3.SQLITE_FULL: (
        "the disk is full, so nothing of this step was stored",
        "make room and repeat the step; what was stored before is safe",
    ),
    sqlite3.SQLITE_IOERR: (
        "the disk refused to read or write, so nothing of this step was stored",
        "see that the disk has room and is sound, then repeat the step",
    ),
    sqlite3.SQLITE_CORRUPT: (
        "the workbench is damaged",
        "run `evenhand check` to see what is affected, and go on from the latest backup",
    ),
    sqlite3.SQLITE_NOTADB: (
        "this is not a workbench, or its first page is damaged",
        "name another file with --workbench, or go on from the latest backup",
    ),
    sqlite3.SQLITE_TOOBIG: (
        "one record is larger than a workbench can hold (about 1 GB)",
        "split the log into shorter runs",
    ),
}


# What Python's sqlite3 says, without a code, of a field whose bytes are not UTF-8.
_UNREADABLE = re.compile(r"Could not decode to UTF-8 column '(?P<name>[^']*)'")


@contextmanager
def told(path: Path) -> Iterator[None]:
    """Turns what SQLite raises inside into a StoreProblem that names the file as it was given.

    Misuse of the database by our own code (sqlite3.ProgrammingError) passes through: it is no
    problem of the file.
    """
    try:
        yield
    except sqlite3.ProgrammingError:
        raise
    except sqlite3.Error as error:
        raise explained(error, path) from error


def explained(error: sqlite3.Error, path: Path) -> StoreProblem:
    """The words for one error of SQLite.

    >>> error = sqlite3.OperationalError("database or disk is full")
    >>> error.sqlite_errorcode = sqlite3.SQLITE_FULL
    >>> str(explained(error, Path("bench.evenhand")))
    'bench.evenhand: the disk is full, so nothing of this step was stored; make room and repeat the step; ...'
    """
    code = primary_code(error)
    if code in _WORDS:
        found, todo = _WORDS[code]
        return StoreProblem(found, where=str(path), todo=todo)
    column = _UNREADABLE.match(str(error))
    if column is not None:
        found, todo = _WORDS[sqlite3.SQLITE_CORRUPT]
        return StoreProblem(
            f"{found}: a field '{column['name']}' holds bytes that are no text", where=str(path), todo=todo
        )
    return StoreProblem(
        f"the workbench refused this step ({error})",
        where=str(path),
        todo="run `evenhand check`; if it finds nothing wrong, this is a fault of Evenhand: please report it",
    )


def damaged(path: Path) -> StoreProblem:
    """The words for a damaged workbench."""
    found, todo = _WORDS[sqlite3.SQLITE_CORRUPT]
    return StoreProblem(found, where=str(path), todo=todo)


def tells_of_damage(problem: StoreProblem) -> bool:
    """Whether a problem comes from bytes that are not what SQLite wrote, not from rights or room."""
    cause = problem.__cause__
    if isinstance(cause, UnicodeDecodeError):
        return True
    if not isinstance(cause, sqlite3.Error):
        return False
    damage = primary_code(cause) in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)
    return damage or _UNREADABLE.match(str(cause)) is not None


def primary_code(error: sqlite3.Error) -> int:
    """SQLite's result code without its extension; -1 where the error carries none."""
    code: int = getattr(error, "sqlite_errorcode", -1)
    return code & 0xFF if code >= 0 else code
