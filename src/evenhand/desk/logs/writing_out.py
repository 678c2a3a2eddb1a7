"""Files written out of a workbench: whole or not at all, and the words for a place that refuses them."""

from __future__ import annotations

import errno
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from evenhand.errors import BadRecord

FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)
DRAFT = ".evenhand-half-"  # and the number of the process that writes it


def unwritable(place: Path, error: OSError) -> BadRecord:
    """The refusal of a place that the system refuses, or of a disk that is full."""
    if error.errno in FULL:
        return BadRecord(
            "the disk is full", where=str(place), todo="make room and repeat the step, or name another folder"
        )
    return BadRecord(f"cannot be written to ({error.strerror})", where=str(place), todo="name another folder")


def write_whole(path: Path, data: bytes) -> int:
    """A file under its name only once all of it is there; how many bytes. Raises OSError."""
    half = path.with_name(f"{DRAFT}{os.getpid()}-{path.name}")
    try:
        half.write_bytes(data)
        half.replace(path)
    finally:
        with suppress(OSError):
            half.unlink()
    return len(data)


@contextmanager
def filled_at_once(folder: Path, *, last: str) -> Iterator[Path]:
    """A place to write to whose content moves into `folder`, new or empty, once all is there.

    It lies inside, so that a disk's own top folder will do. What is called `last` moves last: where it
    stands, everything does. When the block fails nothing is left behind.

    Raises BadRecord where the folder holds anything, cannot be written to, or the disk is full.
    """
    made = _empty(folder)
    half = folder / f"{DRAFT}{os.getpid()}"
    try:
        half.mkdir()
        yield half
        for each in sorted(half.iterdir(), key=lambda path: (path.name == last, path.name)):
            each.rename(folder / each.name)
        half.rmdir()
    except BaseException as error:
        shutil.rmtree(half, ignore_errors=True)
        _take_away(made)
        if isinstance(error, OSError):
            raise unwritable(folder, error) from error
        raise


def _empty(folder: Path) -> list[Path]:
    """Make the folder, and refuse one that holds anything; which folders were made, inmost first."""
    made = [each for each in (folder, *folder.parents) if not each.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        there = sorted(each.name for each in folder.iterdir())
    except OSError as error:
        _take_away(made)
        raise unwritable(folder, error) from error
    if there and all(name.startswith(DRAFT) for name in there):
        raise BadRecord(
            f"a step that was stopped left {there[0]} here",
            where=str(folder),
            todo="delete it if nothing is writing here now, or name another folder",
        )
    if there:
        raise BadRecord("the folder is not empty", where=str(folder), todo="name a new or empty folder")
    return made


def _take_away(made: list[Path]) -> None:
    """Remove folders that were made for nothing, where they are empty."""
    for each in made:
        with suppress(OSError):
            each.rmdir()
