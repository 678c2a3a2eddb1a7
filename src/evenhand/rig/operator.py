"""Whoever stands at the machine: told things, asked things, and heard while something else goes on."""

from __future__ import annotations

import math
import os
import queue
import sys
import threading
import time

from evenhand.errors import EvenhandError

LOOK_AGAIN_S = 1.0  # a wait without an end cannot be stopped by Ctrl+C on every system

SPACES = "\n\u00a0\u202f\u2009"  # ours: the end of a line, and the room before a unit


class NobodyThere(EvenhandError):
    """A question at a terminal that nobody sits at."""


class Keys:
    """Lines of the terminal or pipe, past Python's own buffer: a thread that waits in that aborts our end."""

    __slots__ = ("_rest",)

    def __init__(self) -> None:
        self._rest = b""

    def line(self) -> str:
        """The next line, as soon as it is there. Raises EOFError where nothing more will come."""
        while b"\n" not in self._rest:
            more = os.read(sys.stdin.fileno(), 4096)
            if not more and not self._rest:
                raise EOFError
            self._rest += more or b"\n"
        line, _, self._rest = self._rest.partition(b"\n")
        return line.decode(sys.stdin.encoding or "utf-8", "replace").rstrip("\r")


class Operator:
    """One line is read at a time, by a thread that begins with the first question."""

    def __init__(self) -> None:
        self._wanted = threading.Semaphore(0)
        self._lines: queue.SimpleQueue[str | None] = queue.SimpleQueue()
        self._reader: threading.Thread | None = None
        self._reading = False

    def ask(self, words: str, *, longest_s: float = math.inf) -> str:
        """What is typed in answer. Raises NobodyThere where the terminal has no keyboard, or all is still."""
        if not self._lines.empty():  # pressed before the question was put
            self._take()
        print(words, end="", flush=True)
        self._read_on()
        until = time.monotonic() + longest_s
        while time.monotonic() < until:
            try:
                return self._take(min(LOOK_AGAIN_S, longest_s))
            except queue.Empty:
                continue
        print(flush=True)
        raise NobodyThere("nobody has answered in time", where="the terminal", todo="answer sooner")

    def pressed(self) -> bool:
        """Whether Enter was pressed since this was first asked. Does not wait."""
        self._read_on()
        try:
            self._take()
        except (queue.Empty, NobodyThere):
            return False
        return True

    def _take(self, longest_s: float = 0.0) -> str:
        line = self._lines.get(timeout=longest_s) if longest_s else self._lines.get_nowait()
        self._reading = line is None  # nothing comes after the end
        if line is None:
            self._lines.put(None)
            raise NobodyThere(
                "nobody answers here", where="the terminal", todo="start this where somebody can"
            )
        return line

    def _read_on(self) -> None:
        if self._reader is None:
            self._reader = threading.Thread(target=self._read, daemon=True)
            self._reader.start()
        if not self._reading:
            self._reading = True
            self._wanted.release()

    def _read(self) -> None:
        keys = Keys()
        while True:
            self._wanted.acquire()
            try:
                self._lines.put(keys.line())
            except Exception:  # noqa: BLE001  (whatever is wrong with it, nothing more will be typed)
                self._lines.put(None)
                return


def say(words: str) -> None:
    """A line to whoever stands at the machine."""
    print(readable(words), flush=True)


def readable(words: str) -> str:
    r"""Words with every sign that nobody sees written out: a terminal would obey it, a command hide by it.

    >>> readable("true \x1b[2K\rrm -r x"), readable("a\u202eb\n  c")
    ('true \\x1b[2K\\rrm -r x', 'a\\u202eb\n  c')
    """
    return "".join(sign if sign in SPACES or sign.isprintable() else repr(sign)[1:-1] for sign in words)
