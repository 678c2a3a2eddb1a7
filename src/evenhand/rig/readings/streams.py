"""A program of the system that prints a line of readings a second, kept running and read as it prints."""

from __future__ import annotations

import subprocess
import threading
from collections.abc import Callable, Mapping, Sequence

Parsed = Callable[[str], Mapping[str, float]]


class Stream:
    """The last readings that a program has printed, by name.

    It is started once, since starting a program every second would disturb the machine more than all else.
    """

    __slots__ = ("_latest", "_parse", "_program")

    def __init__(self, command: Sequence[str], parse: Parsed) -> None:
        self._latest: Mapping[str, float] = {}
        self._parse = parse
        self._program = subprocess.Popen(  # noqa: S603  (a program of the system, named by us)
            list(command), stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, errors="replace"
        )
        threading.Thread(target=self._follow, daemon=True).start()

    def reading(self, name: str) -> Callable[[], float | None]:
        """A way to read the latest value under this name."""
        return lambda: self._latest.get(name)

    def close(self) -> None:
        """Ends the program."""
        self._program.terminate()

    def _follow(self) -> None:
        assert self._program.stdout is not None
        for line in self._program.stdout:
            found = self._parse(line)
            if found:
                self._latest = found
