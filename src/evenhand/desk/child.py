"""A further process of this program, asked one question after the other.

A plain child: it runs one module of ours, reads questions from its standard input, writes answers to its
standard output, and ends when its input does. It runs nothing of the program that called it.
"""

from __future__ import annotations

import os
import pickle
import select
import signal
import subprocess
import sys
from collections.abc import Callable, Mapping
from contextlib import suppress
from threading import Thread
from typing import IO, Any

from evenhand.desk.cores import free_cores

WIDE_BYTES = 2**20  # as much as Linux gives to anybody
SILENT = (OSError, EOFError, ValueError, pickle.PickleError)  # what a child that is no more leaves behind


class Child:
    """One further process. Ask from one thread at a time."""

    def __init__(self, module: str, *more: str, env: Mapping[str, str] | None = None) -> None:
        self._child = subprocess.Popen(  # noqa: S603  (a module of our own)
            [sys.executable, "-m", module, *more],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env={**os.environ, **(env or {}), "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
        )

        widen(self._child.stdout)

    def say(self, what: object) -> None:
        """Tell it something. Raises one of `SILENT` where it is no more."""
        if self._child.stdin is not None:
            pickle.dump(what, self._child.stdin, pickle.HIGHEST_PROTOCOL)
            self._child.stdin.flush()

    def hear(self) -> Any:
        """The next thing that it says. Raises one of `SILENT` where it is no more."""
        if self._child.stdout is None:
            raise EOFError
        return pickle.load(self._child.stdout)  # noqa: S301  (our own child wrote it)

    def ask(self, what: object) -> Any:
        """Its answer. Raises one of `SILENT` where it is no more."""
        self.say(what)
        return self.hear()

    def kill(self) -> None:
        """End it, whatever it is at."""
        self._child.kill()

    def bury(self) -> None:
        """Let go of a child that was killed or has ended."""
        for pipe in (self._child.stdin, self._child.stdout):
            with suppress(OSError):
                if pipe is not None:
                    pipe.close()
        self._child.wait()

    @property
    def ended(self) -> bool:
        """Whether it is no more."""
        return self._child.poll() is not None


def widen(pipe: IO[bytes] | None) -> None:
    """Let a long answer into a pipe at once, where the system can: each part of it would wake its reader."""
    if sys.platform == "linux" and pipe is not None:
        import fcntl

        with suppress(OSError):  # more than this user may have
            fcntl.fcntl(pipe, fcntl.F_SETPIPE_SZ, WIDE_BYTES)


def can_be_started() -> bool:
    """Whether this program is run by an interpreter that can be started once more, and a core is free."""
    return bool(sys.executable) and not getattr(sys, "frozen", False) and free_cores() > 1


def listen() -> Any:
    """In the child: the next thing it is told. Raises EOFError once there is nothing more to come."""
    return pickle.load(sys.stdin.buffer)  # noqa: S301  (the process that started this one wrote it)


def say(what: object) -> None:
    """In the child: tell the one that started it."""
    pickle.dump(what, sys.stdout.buffer, pickle.HIGHEST_PROTOCOL)
    sys.stdout.buffer.flush()


def serve(answer: Callable[[Any], object]) -> None:
    """In the child: answer one question after the other, until there is none."""
    with suppress(EOFError):
        while True:
            say(answer(listen()))


def spared() -> None:
    """In the child: who is interrupted is the one that asked, and ends this; killed, it ends this too."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if hasattr(select, "poll"):  # elsewhere it ends once it has answered
        Thread(target=end_with_caller, daemon=True).start()


def end_with_caller() -> None:
    """End at once, whatever this is at, where nobody holds the other end of standard input any more."""
    caller = select.poll()
    caller.register(sys.stdin.fileno(), 0)  # that it was hung up is told unasked
    caller.poll()
    os._exit(1)
