"""Ways to end a trial before its time: Ctrl+C, the system's own word, a file, the workbench's button."""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

FILE = "stop"  # whoever may write into the rig's folder, stops by making this file
WORDS = {
    "SIGINT": "Ctrl+C",
    "SIGTERM": "the system asked this program to end",
    "SIGHUP": "its terminal was closed",
}


class Stop:
    """Whether somebody wants the trial to end, and who."""

    __slots__ = ("_asked", "_place", "who")

    def __init__(self, folder: Path) -> None:
        self._place = folder / FILE
        self._asked = threading.Event()
        self.who = ""

    def ask(self, who: str) -> None:
        """Somebody wants it to end; the first to say so is told of."""
        self.who = self.who or who
        self._asked.set()

    def wait(self, seconds: float) -> None:
        """Waits so long, or until somebody asks."""
        self._asked.wait(max(0.0, seconds))

    def asked(self) -> bool:
        """Whether anybody has asked."""
        if not self._asked.is_set() and self._place.exists():
            self.ask(f"the file {self._place.name} in the rig's folder")
        return self._asked.is_set()

    def forget(self) -> None:
        """Takes away a file of an earlier time."""
        self._place.unlink(missing_ok=True)


@contextmanager
def heard(stop: Stop) -> Iterator[None]:
    """While inside, nothing breaks a line off in the middle: who wants an end is heard once it is written."""
    names = [name for name in WORDS if hasattr(signal, name)]
    if threading.current_thread() is not threading.main_thread():
        names = []

    def ask(number: int, _: Any) -> None:
        stop.ask(WORDS[signal.Signals(number).name])

    before = {name: signal.signal(getattr(signal, name), ask) for name in names}
    try:
        yield
    finally:
        for name, handler in before.items():
            signal.signal(getattr(signal, name), handler)
