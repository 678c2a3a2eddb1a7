"""Uploads on their way: each a file beside the workbench under its hash, added to piece by piece.

A piece counts once it is on the disk for good. Whatever is cut off goes on from where it ended.
"""

from __future__ import annotations

import errno
import os
import re
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from pathlib import Path
from threading import Lock

from evenhand.desk.logs.identity import digest as digest_of
from evenhand.errors import BadLog, BadRecord, EvenhandError, StoreProblem
from evenhand.store import originals
from evenhand.store.workbench import Workbench
from evenhand.traces.limits import DEFAULT_LIMITS, Limits, in_mib

PIECE_BYTES = 8 * 2**20  # the most that one piece may hold: it is taken into memory
MOST_BYTES = 8 * 2**30  # of all uploads on their way together: more is no bench day, and the disk is not ours
KEPT_FOR = timedelta(days=3)  # an upload that nobody goes on with is forgotten after that
HASH = re.compile(r"[0-9a-f]{64}")


class TooLarge(BadLog):
    """More bytes than a log, or one piece of it, may hold."""


class OutOfStep(EvenhandError):
    """A piece that does not begin where the last one ended; `have` says where that is."""

    def __init__(self, have: int, *, offset: int) -> None:
        self.have = have
        super().__init__(
            f"the piece begins at byte {offset}, and {have} bytes are here",
            where="Upload-Offset",
            todo=f"send on from byte {have}",
        )


class Unfinished(OutOfStep):
    """An upload that is landed before all of it is here; `of` is its whole length, 0 where nobody said it."""

    def __init__(self, have: int, *, of: int) -> None:
        super().__init__(have, offset=0)
        some = f"{have:,} of {of:,} bytes are here" if of else "no bytes of it are here"
        EvenhandError.__init__(self, some, where="the upload", todo=f"send on from byte {have}, then land it")


@dataclass(frozen=True, slots=True, kw_only=True)
class Here:
    """How many bytes of an upload are here; `done` if the workbench keeps all of them for good."""

    have: int
    done: bool = False


def folder_of(wb: Workbench) -> Path:
    """Where uploads on their way lie: a folder beside the workbench."""
    return wb.path.with_name(f"{wb.path.name}.incoming")


def here(wb: Workbench, mark: str) -> Here:
    """How much of an upload is here. Raises BadRecord where `mark` is no SHA-256 in hex."""
    _check(mark)
    if originals.on_record(wb, mark):
        return Here(have=originals.size_of(wb, mark), done=True)
    return Here(have=_size(_file(wb, mark)))


def expect(wb: Workbench, mark: str, size: int) -> None:
    """Write down how many bytes an upload will be of: what is less is no mistake, but half of it."""
    with _turn(wb, mark):
        if here(wb, mark).done or _expected(wb, mark) == size:
            return
        _length_file(wb, mark).parent.mkdir(exist_ok=True)
        _length_file(wb, mark).write_text(f"{size}")


def add(wb: Workbench, mark: str, piece: bytes, *, offset: int, limits: Limits = DEFAULT_LIMITS) -> Here:
    """Put a piece behind what is here; it is on the disk when this returns.

    Bytes that the workbench keeps already are not taken twice. Raises OutOfStep where the piece does not
    begin where the last one ended, and TooLarge past what a log may hold.
    """
    with _turn(wb, mark):
        found = here(wb, mark)
        if found.done:
            return found
        if offset != found.have:
            raise OutOfStep(found.have, offset=offset)
        check_room(found.have + len(piece), limits=limits)
        _check_all(folder_of(wb), len(piece))
        _append(_file(wb, mark), piece)
        return Here(have=offset + len(piece))


def check_room(size: int, *, limits: Limits = DEFAULT_LIMITS) -> None:
    """Raises TooLarge where an upload of this size is more than a log may hold."""
    if size > limits.max_bytes:
        raise TooLarge(
            f"the upload is more than {in_mib(limits.max_bytes)}, the limit for one log",
            todo="split it into one file a run",
        )


def _check_all(folder: Path, more: int) -> None:
    """Raises TooLarge where all uploads on their way would be too many bytes together."""
    if more + sum(_size(path) for path in folder.glob("*")) > MOST_BYTES:
        raise TooLarge(
            f"uploads on their way hold {in_mib(MOST_BYTES)} together, the limit for all of them",
            todo="finish or give up what was begun; what nobody goes on with is thrown away after some days",
        )


def whole(wb: Workbench, mark: str) -> bytes:
    """All bytes of an upload, on record or on their way.

    Raises OutOfStep where none are here, or fewer than it was said to be of, and BadRecord where those that
    are here do not have this hash; they are thrown away then, so that they can be sent anew.
    """
    with _turn(wb, mark):
        if here(wb, mark).done:
            return originals.original(wb, mark)
        path = _file(wb, mark)
        data = path.read_bytes() if path.exists() else b""
        if digest_of(data) == mark:
            return data
        expected = _expected(wb, mark)
        if not data or len(data) < expected:
            raise Unfinished(len(data), of=expected)
        _throw_away(wb, mark)
    raise BadRecord(
        f"the {len(data):,} bytes that came do not have the hash they were sent under",
        where=mark[:12],
        todo="send the file again from its beginning",
    )


def forget(wb: Workbench, mark: str) -> None:
    """Throw away what lies on its way of an upload that the workbench keeps now."""
    with _turn(wb, mark):
        if here(wb, mark).done:
            _throw_away(wb, mark)


def clear_old(wb: Workbench, *, now: datetime) -> int:
    """Throw away uploads that nobody has gone on with for days, and those that are kept; how many."""
    gone = 0
    for path in sorted(folder_of(wb).glob("*")):
        if not HASH.fullmatch(path.name):
            continue
        with suppress(OSError):
            changed = datetime.fromtimestamp(path.stat().st_mtime, tz=now.tzinfo)
            if now - changed > KEPT_FOR or originals.on_record(wb, path.name):
                _throw_away(wb, path.name)
                gone += 1
    return gone


def _check(mark: str) -> None:
    """A hash names a file here: nothing else may."""
    if not HASH.fullmatch(mark):
        raise BadRecord(
            "this is no SHA-256 in hex", where=mark[:80], todo="hash the file's bytes: 64 digits of 0-9, a-f"
        )


def _file(wb: Workbench, mark: str) -> Path:
    _check(mark)
    return folder_of(wb) / mark


def _length_file(wb: Workbench, mark: str) -> Path:
    return _file(wb, mark).with_suffix(".length")


def _expected(wb: Workbench, mark: str) -> int:
    """Of how many bytes an upload was said to be; 0 where nobody said so."""
    try:
        return int(_length_file(wb, mark).read_text())
    except (FileNotFoundError, ValueError):
        return 0


def _throw_away(wb: Workbench, mark: str) -> None:
    _file(wb, mark).unlink(missing_ok=True)
    _length_file(wb, mark).unlink(missing_ok=True)


def _size(path: Path) -> int:
    try:
        return path.stat().st_size
    except FileNotFoundError:
        return 0


def _append(path: Path, piece: bytes) -> None:
    try:
        new = not path.exists()
        path.parent.mkdir(exist_ok=True)
        with path.open("ab") as file:
            file.write(piece)
            file.flush()
            os.fsync(file.fileno())
        if new:
            _settle(path.parent)
    except OSError as error:
        full = error.errno in (errno.ENOSPC, errno.EDQUOT)
        raise StoreProblem(
            "the disk is full" if full else f"the upload cannot be kept ({error.strerror})",
            where=str(path.parent),
            todo="make room on the disk; the sender may go on then" if full else "see that it may be written",
        ) from error


def _settle(folder: Path) -> None:
    """The folder's list of files onto the disk as well, where the system offers that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


@contextmanager
def _turn(wb: Workbench, mark: str) -> Iterator[None]:
    """One at a time for the same bytes: two senders take turns, and neither tears the other's piece."""
    _check(mark)
    with _locks(wb.path)[int(mark[:2], 16)]:
        yield


@cache
def _locks(path: Path) -> tuple[Lock, ...]:  # noqa: ARG001  (256 a workbench, by the first byte of the hash)
    return tuple(Lock() for _ in range(256))
