"""The files of a study's folder as bytes; apart, so that a process that only reads loads no more."""

from __future__ import annotations

from pathlib import Path

from evenhand.desk.logs.named_files import refuse_leading_out
from evenhand.errors import BadLog
from evenhand.traces.limits import check_size


def file_size(folder: Path, name: str) -> int:
    """How many bytes a file holds; 0 where nobody can tell."""
    try:
        return (folder / name).stat().st_size
    except OSError:
        return 0


def file_bytes(folder: Path, name: str) -> bytes:
    """A log's bytes. Raises BadLog where they cannot be read or are more than a log may hold."""
    path = folder / name
    refuse_leading_out(folder, name, BadLog)
    try:
        size = path.stat().st_size
        if size:  # no bytes are an original too: the reader says what is wrong with them
            check_size(size, name=name)
        return path.read_bytes()
    except FileNotFoundError as error:
        raise BadLog(
            "is no longer there: it was moved or removed meanwhile",
            where=name,
            todo="put it back, and import the folder again",
        ) from error
    except OSError as error:
        raise BadLog(
            f"cannot be read ({error.strerror})", where=name, todo="check the file's rights"
        ) from error
