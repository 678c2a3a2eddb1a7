"""macOS: load from `iostat` and memory from `vm_stat`; the system gives the rest to the administrator only.

Written from the system's manual pages and tested against outputs of that form; not yet tried on such a
machine.
"""

from __future__ import annotations

import platform
import re
from collections.abc import Mapping

from evenhand.rig.readings.programs import said_by
from evenhand.rig.readings.sensor import LOAD, MEMORY, Found, Sensor, Unreadable
from evenhand.rig.readings.streams import Stream

_PAGE = re.compile(r"page size of (\d+) bytes")


def find() -> Found:
    """What the system prints for everybody, and what it does not."""
    sensors = []
    for command, parse, role, about in (
        (["iostat", "-n", "0", "-w", "1"], processor_load, LOAD, "processor"),
        (["vm_stat", "1"], MemoryReader(), MEMORY, "system"),
    ):
        try:
            stream = Stream(command, parse)
        except OSError:
            continue
        source = " ".join(command)
        sensors.append(Sensor(role=role, about=about, source=source, read=stream.reading(role)))
    why = "the system gives it to the administrator only"
    kept = ("clock of processor", "temperatures", "power of the processor", "fans")
    return Found(sensors=tuple(sensors), unreadable=tuple(Unreadable(what=each, why=why) for each in kept))


def processor_load(line: str) -> Mapping[str, float]:
    """The load in a line of `iostat -n 0 -w 1`: user, system and idle percent stand first.

    >>> processor_load("  7  3 90  1.63 1.71 1.70")
    {'load': 10.0}
    >>> processor_load(" us sy id   1m   5m   15m")
    {}
    """
    words = line.split()
    if len(words) < 3 or not all(word.isdigit() for word in words[:3]):
        return {}
    return {LOAD: 100.0 - float(words[2])}


class MemoryReader:
    """Reads what `vm_stat 1` prints: a page size, names of columns, then counts of pages each second."""

    __slots__ = ("_columns", "_page_bytes")

    def __init__(self) -> None:
        self._page_bytes = 4096
        self._columns: list[str] = []

    def __call__(self, line: str) -> Mapping[str, float]:
        """The memory in use, in a line that holds counts."""
        page = _PAGE.search(line)
        if page:
            self._page_bytes = int(page[1])
            return {}
        words = line.split()
        if "free" in words:
            self._columns = words
            return {}
        counts = [pages(word) for word in words]
        if not self._columns or len(counts) < len(self._columns) or None in counts:
            return {}
        told = dict(zip(self._columns, counts, strict=False))
        used = sum(told.get(name) or 0 for name in ("active", "specul", "throttle", "wired", "cmprssed"))
        return {MEMORY: used * self._page_bytes / 2**20}


def pages(word: str) -> int | None:
    """A count of pages; large ones are written short.

    >>> pages("120"), pages("12K"), pages("x")
    (120, 12000, None)
    """
    number = word.rstrip("KM")
    if not number.isdigit():
        return None
    return int(number) * {"K": 1000, "M": 1_000_000}.get(word[len(number) :], 1)


def stamps() -> dict[str, str]:
    """System and firmware as the machine names them."""
    version = platform.mac_ver()[0]
    firmware = said_by(["sysctl", "-n", "hw.bootromversion"]).strip()
    found = {"os": f"macOS {version}" if version else "", "firmware": firmware}
    return {key: value for key, value in found.items() if value}


def boot() -> str | None:
    """What names this start of the machine: when it was started, in seconds.

    `sysctl -n kern.boottime` prints `{ sec = 1933500000, usec = 12 } Mon May  4 …`.
    """
    found = re.search(r"sec = (\d+)", said_by(["sysctl", "-n", "kern.boottime"]))
    return found[1] if found else None
