"""A further process that lands files on a machine with cores to spare, so that pages have this one.

It opens the workbench for itself and is told the number of an arrival, whose bytes are on record by then:
what becomes of the process loses nothing. A file that it does not answer for is landed here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from pathlib import Path
from threading import Lock, Thread
from typing import Any

from evenhand.desk.child import SILENT, Child, can_be_started
from evenhand.desk.cores import free_cores

READY = "ready"
CORES = 4  # with fewer it only takes the processor from the pages, and memory twice
TRIES = 3  # children in a row that end without an answer before no other is started


@dataclass(frozen=True, slots=True, kw_only=True)
class Errand:
    """A file that is to land: the number it arrived under, with which facts, by whom and when."""

    arrival: int
    facts: Mapping[str, str]
    by: str
    now: datetime


@dataclass(slots=True)
class Lander:
    """The further process of one workbench: begun with the first file, if `wanted`; again if it ends."""

    path: Path
    wanted: bool = False
    _child: Child | None = None
    _ready: bool = False
    _failed: int = 0
    _turn: Lock = field(default_factory=Lock)

    def begin(self) -> None:
        """Start the process, unless it goes already or cannot be had; files land here until it is ready."""
        with self._turn:
            if self._child is not None or self._failed >= TRIES or not self._worth_it():
                return
            with suppress(OSError):  # no room for another process: all lands here
                self._child = Child("evenhand.desk.bench.landing_aside", str(self.path))
                Thread(target=self._wait_for, args=(self._child,), daemon=True).start()

    def land(self, errand: Errand) -> Any:
        """What became of a file; None where it is to be landed here."""
        self.begin()
        with self._turn:
            if self._child is None or not self._ready:
                return None
            try:
                came = self._child.ask(errand)
            except SILENT:
                self._lose()
                return None
            self._failed = 0
            return came

    def end(self) -> None:
        """End the process; what it was at is landed here, or when the workbench is opened next."""
        child = self._child
        if child is not None:
            child.kill()  # not in turn: who waits for its answer has the turn
        with self._turn:
            self._lose()
            self.wanted, self._failed = False, 0

    def _worth_it(self) -> bool:
        return self.wanted and free_cores() >= CORES and can_be_started()

    def _wait_for(self, child: Child) -> None:
        try:
            told = child.hear()
        except SILENT:
            told = None
        with self._turn:
            if child is self._child and told == READY:
                self._ready = True
            elif child is self._child:
                self._lose()

    def _lose(self) -> None:
        if self._child is not None:
            self._child.kill()
            self._child.bury()
        self._child, self._ready, self._failed = None, False, self._failed + 1


@cache
def lander_of(path: Path) -> Lander:
    """The further process of a workbench, in this one."""
    return Lander(path)


@contextmanager
def landing_aside(path: Path) -> Iterator[None]:
    """While the workbench is served, a further process may land what comes in."""
    lander = lander_of(path)
    lander.wanted = True
    try:
        yield
    finally:
        lander.end()
