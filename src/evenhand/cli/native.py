"""Standard output for the answer alone: what native code prints of its own accord goes to standard error."""

from __future__ import annotations

import ctypes
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress


@contextmanager
def answers_alone() -> Iterator[None]:
    """Meanwhile whatever is written to standard output below Python goes to standard error.

    A solver prints lines of its own now and then. Only for a program that does nothing else meanwhile.
    """
    try:
        sys.stdout.flush()
        kept = os.dup(1)
    except (OSError, ValueError, AttributeError):  # closed: there is nothing to be kept clean
        yield
        return
    os.dup2(2, 1)
    try:
        yield
    finally:
        _flush_native()
        os.dup2(kept, 1)
        os.close(kept)


def _flush_native() -> None:
    """Writes out what the C library still holds; where it cannot be asked, nothing is held or lost by us."""
    with suppress(OSError, AttributeError):
        library = ctypes.cdll.msvcrt if os.name == "nt" else ctypes.CDLL(None)
        library.fflush(None)
