"""What lies in a folder just now: its files, with length and time of change, and the bytes of one."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from evenhand.errors import BadRecord
from evenhand.store.watches import written

MOST_FILES = 20_000  # a folder with more is not one in which logs of bench days appear
UNFINISHED = (".part", ".partial", ".tmp", ".temp", ".download", ".half", ".swp", "~")


@dataclass(frozen=True, slots=True, kw_only=True)
class FileNow:
    """A file in a watched folder as it is now: its path from the folder on, its length and time of change."""

    path: str
    bytes: int
    changed_ns: int

    @property
    def key(self) -> str:
        """The path as it is kept and shown."""
        return written(self.path)


class StillWritten(Exception):
    """A file was changed while it was read."""


def place_named(folder: str) -> Path:
    """The folder that somebody named. Raises BadRecord where it is none, or may not be read."""
    plain = folder.strip()
    if not plain:
        raise BadRecord("no folder was named", todo="write its whole path, as in /home/me/logs")
    place = Path(plain).expanduser()
    if not place.is_absolute():
        raise BadRecord("this is no whole path", where=plain, todo="begin with the disk, as in /home/me/logs")
    if not place.is_dir():
        found = "this is a file, not a folder" if place.exists() else "there is no such folder"
        raise BadRecord(found, where=plain, todo="make it, or correct its name")
    files_in(place)
    return place.resolve()


def files_in(folder: Path) -> tuple[FileNow, ...]:
    """Every file in a folder and below, by path, but hidden ones and those that bear the name of a half.

    Raises BadRecord where the folder is gone, may not be read, or holds far too much.
    """
    found: list[FileNow] = []
    for each in _walk(folder, ""):
        found.append(each)
        if len(found) > MOST_FILES:
            raise BadRecord(
                f"it holds more than {MOST_FILES:,} files",
                where=str(folder),
                todo="name the folder in which logs appear, not one above it",
            )
    return tuple(sorted(found, key=lambda each: each.path))


def _walk(folder: Path, below: str) -> Iterator[FileNow]:
    try:
        entries = list(os.scandir(folder))
    except OSError as error:
        gone = isinstance(error, FileNotFoundError | NotADirectoryError)
        if gone and below:
            return  # taken away between two looks
        raise BadRecord(
            "the folder is gone" if gone else f"the folder cannot be read ({error.strerror})",
            where=str(folder),
            todo="put it back" if gone else "see that it may be read",
        ) from error
    for entry in entries:
        if entry.name.startswith((".", "~")):
            continue
        if entry.is_dir(follow_symlinks=False):
            yield from _walk(Path(entry.path), f"{below}{entry.name}/")
        elif not entry.name.lower().endswith(UNFINISHED):
            yield from _one(entry, below)


def _one(entry: os.DirEntry[str], below: str) -> Iterator[FileNow]:
    try:
        found = entry.stat()
        if entry.is_file():
            yield FileNow(path=f"{below}{entry.name}", bytes=found.st_size, changed_ns=found.st_mtime_ns)
    except OSError:
        return  # taken away between two looks, or a link to nowhere


def whole(folder: Path, file: FileNow) -> bytes:
    """A file's bytes. Raises StillWritten and BadRecord."""
    path = folder / file.path
    try:
        data = path.read_bytes()
        after = path.stat()
    except OSError as error:
        raise BadRecord(
            f"it cannot be read ({error.strerror})", where=file.path, todo="see that it may be read"
        ) from error
    if (after.st_size, after.st_mtime_ns) != (file.bytes, file.changed_ns) or len(data) != file.bytes:
        raise StillWritten
    return data
