"""One rig program at a time on one folder of state: the second is told who holds it, a killed one lets go."""

from __future__ import annotations

import errno
import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import IO, Any, cast

from evenhand.errors import EvenhandError

NAME = "lock"
TAKEN = (errno.EAGAIN, errno.EACCES, errno.EDEADLK)
FAR = 2**30  # the byte that is locked on Windows, far behind what is written: others may read that


class Held(EvenhandError):
    """Another rig program works on this folder."""


@contextmanager
def alone_on(folder: Path, *, lock: Callable[[IO[bytes]], None] | None = None) -> Iterator[None]:
    """Keeps every other rig program away from this folder while inside. Raises Held where one is there.

    The system lets go of the file when its process ends, however it ends, so that what a killed program left
    behind is no obstacle. The file stays: to take it away could take it from under a program that has just
    opened it.
    """
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / NAME).open("a+b") as file:
        try:
            (lock or lock_for())(file)
        except OSError as error:
            if error.errno in TAKEN:  # any other says that this disk knows no locks
                raise held(folder, read(file)) from None
        write(file)
        yield


def held(folder: Path, who: str) -> Held:
    """What the second one is told."""
    return Held(
        f"another rig program works with this folder already: {who}",
        where=str(folder),
        todo="let it go on, or stop it in its own terminal with Ctrl+C and start again; "
        "for a second rig on one machine give --state another folder",
    )


def read(file: IO[bytes]) -> str:
    """Who holds the file, as far as it could write that down."""
    with suppress(OSError, ValueError):
        file.seek(0)
        told = json.loads(file.read(400))
        return f"process {int(told['process'])}"
    return "a process that did not say its number"


def write(file: IO[bytes]) -> None:
    """Says who we are, in the place of who held it before."""
    file.seek(0)
    file.truncate()
    file.write(json.dumps({"process": os.getpid()}).encode())
    file.flush()


def lock_for(system: str = sys.platform) -> Callable[[IO[bytes]], None]:
    """How a file is locked without waiting, on this system; raises OSError where it is locked already."""
    return lock_windows if system == "win32" else lock_posix


def lock_posix(file: IO[bytes]) -> None:
    """Linux and macOS: the lock goes with the opened file, at the latest when its process ends."""
    import fcntl  # not there on Windows

    fcntl.flock(file.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


def lock_windows(file: IO[bytes]) -> None:
    """Windows: one byte far behind the end is locked."""
    import msvcrt  # only there on Windows

    windows = cast("Any", msvcrt)
    file.seek(FAR)
    windows.locking(file.fileno(), windows.LK_NBLCK, 1)
