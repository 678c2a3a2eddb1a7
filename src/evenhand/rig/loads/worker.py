"""One core's worker: a process of its own that goes round after round and tells the digest of each.

It judges nothing: a core that reckons wrongly may compare wrongly, too. It says what it works with, waits for
a line, and ends once nobody reads what it tells.
"""

from __future__ import annotations

import importlib
import json
import os
import signal
import sys
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from itertools import count
from typing import Any

from evenhand.rig.loads.known import LOADS, Touch, Work

UNTOUCHED = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One bit that a test flips: in which worker and round, at which of its stages, how far in (0 to 1)."""

    worker: int
    round: int
    stage: int = 0
    place: float = 0.0
    bit: int = 0


class Flipping:
    """Shows nothing to anybody, but flips the bit of a fault in the round that is meant."""

    __slots__ = ("_fault", "_stage", "round")

    def __init__(self, fault: Fault | None) -> None:
        self._fault = fault
        self._stage = 0
        self.round = UNTOUCHED

    def begin(self, number: int) -> None:
        """A round of this number begins."""
        self.round, self._stage = number, 0

    def __call__(self, view: memoryview) -> None:
        """Where this is the place, another bit stands there afterwards."""
        fault = self._fault
        if fault is not None and (self.round, self._stage) == (fault.round, fault.stage):
            view[min(int(fault.place * len(view)), len(view) - 1)] ^= 1 << fault.bit
        self._stage += 1


def say(**told: Any) -> None:
    """A line to whoever started this; whole, since it is shorter than what a pipe takes at once."""
    os.write(1, json.dumps(told).encode() + b"\n")


def pin(core: int | None) -> None:
    """Stays on one core, where the system lets a process choose."""
    if core is not None and hasattr(os, "sched_setaffinity"):
        with suppress(OSError):
            os.sched_setaffinity(0, {core})


def versions(*, numpy: bool) -> dict[str, str]:
    """What the answers hang on: Python's version, and numpy's where the load uses it."""
    found = {"python": sys.version.split()[0]}
    if numpy:
        found["numpy"] = str(importlib.import_module("numpy").__version__)
    return found


def go_on(work: Work, cases: int, flipping: Flipping) -> None:
    """Round after round, without an end of its own."""
    touch: Touch = flipping
    for number in count():
        flipping.begin(number)
        say(round=number, case=number % cases, digest=work(number % cases, touch))


def main(asked: Mapping[str, Any]) -> int:
    """Prepares, waits to be let go, works; the exit code."""
    pin(asked["core"])
    load = LOADS[asked["load"]]
    try:
        found = versions(numpy=load.numpy)
        work: Work = importlib.import_module(load.module).begin(asked["size"])
    except (ImportError, MemoryError) as error:
        say(unable=str(error) or type(error).__name__)
        return 2
    say(ready=found)
    if not os.read(0, 1):
        return 0
    fault = asked.get("fault")
    try:
        go_on(work, load.cases, Flipping(Fault(**fault) if fault else None))
    except BrokenPipeError:
        return 0
    except Exception as error:  # noqa: BLE001  (whatever it is, it is the outcome of the trial)
        say(error=f"{type(error).__name__}: {error}"[:400])
    return 1


if __name__ == "__main__":
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl+C is for the program that started this
    try:
        sys.exit(main(json.loads(sys.argv[1])))
    except OSError:  # on Windows a pipe that nobody reads gives another error than elsewhere
        sys.exit(0)
