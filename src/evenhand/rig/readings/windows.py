"""Windows: performance counters that the system's own `typeperf` prints once a second, and its registry.

Written from the system's documentation and tested against outputs of that form; not yet tried on such a
machine.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from evenhand.rig.readings.programs import said_by
from evenhand.rig.readings.sensor import CLOCK, LOAD, MEMORY, TEMPERATURE, Found, Sensor, Unreadable
from evenhand.rig.readings.streams import Stream

KELVIN = 273.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Counter:
    """A performance counter, the quantity it is, and how its number becomes that quantity's unit."""

    path: str
    role: str
    about: str
    scale: Callable[[float], float]


def counters(base_mhz: float | None, memory_mib: float | None) -> tuple[Counter, ...]:
    """The counters asked for; a clock needs the base clock, memory in use needs all of it."""
    found = [
        Counter(
            path=r"\Processor Information(_Total)\% Processor Time",
            role=LOAD, about="processor", scale=lambda value: value,
        ),
        Counter(
            path=r"\Thermal Zone Information(*)\Temperature",
            role=TEMPERATURE, about="thermal zone", scale=lambda value: value - KELVIN,
        ),
    ]  # fmt: skip
    if base_mhz is not None:
        path = r"\Processor Information(_Total)\% Processor Performance"
        scale = scaled_by(base_mhz / 100)
        found.append(Counter(path=path, role=CLOCK, about="processor", scale=scale))
    if memory_mib is not None:
        path = r"\Memory\Available MBytes"
        found.append(Counter(path=path, role=MEMORY, about="system", scale=less_than(memory_mib)))
    return tuple(found)


def scaled_by(factor: float) -> Callable[[float], float]:
    """Multiplies by a factor."""
    return lambda value: value * factor


def less_than(whole: float) -> Callable[[float], float]:
    """What is missing from the whole."""
    return lambda value: whole - value


def find() -> Found:
    """Everything the counters give."""
    asked = counters(base_clock_mhz(), installed_memory_mib())
    try:
        stream = Stream(["typeperf", *(c.path for c in asked), "-si", "1"], Reader(asked))
    except OSError as error:
        why = f"the system's typeperf cannot be started ({error.strerror})"
        return Found(unreadable=(Unreadable(what="load, clock, temperature and memory", why=why),))
    sensors = tuple(
        Sensor(role=c.role, about=c.about, source=f"typeperf {c.path}", read=stream.reading(c.path))
        for c in asked
    )
    power = Unreadable(what="power of the processor", why="the system offers it to no ordinary program")
    return Found(sensors=sensors, unreadable=(power,))


class Reader:
    """Reads what typeperf prints: a line that names the counters, then a line of numbers each second."""

    __slots__ = ("_asked", "_columns")

    def __init__(self, asked: Sequence[Counter]) -> None:
        self._asked = asked
        self._columns: list[str] = []

    def __call__(self, line: str) -> Mapping[str, float]:
        """The readings of a line, by counter; none where it holds none."""
        cells = next(csv.reader([line.strip()]), [])
        if len(cells) > 1 and cells[0].startswith("(PDH"):
            self._columns = cells
            return {}
        if len(cells) < 2 or len(cells) != len(self._columns):
            return {}
        return dict(self._read(cells))

    def _read(self, cells: Sequence[str]) -> list[tuple[str, float]]:
        found = []
        for counter in self._asked:
            at = next((i for i, name in enumerate(self._columns) if answers(name, counter.path)), None)
            value = None if at is None else number(cells[at])
            if value is not None:
                found.append((counter.path, counter.scale(value)))
        return found


def answers(column: str, path: str) -> bool:
    r"""Whether a column is of this counter: the machine's name stands before it, and `*` means any instance.

    >>> answers(r"\\RIG\Memory\Available MBytes", r"\Memory\Available MBytes")
    True
    >>> answers(r"\\RIG\Thermal Zone Information(\_TZ.TZ00)\Temperature",
    ...         r"\Thermal Zone Information(*)\Temperature")
    True
    """
    begin, star, end = path.partition("(*)")
    if not star:
        return column.endswith(path)
    return f"{begin}(" in column and column.endswith(end)


def number(cell: str) -> float | None:
    """A cell's number; typeperf writes the decimal mark of the system.

    >>> number("3,5"), number(" "), number("-1")
    (3.5, None, None)
    """
    try:
        value = float(cell.strip().replace(",", "."))
    except ValueError:
        return None
    return value if value >= 0 else None  # it writes −1 where a counter gives nothing


def base_clock_mhz() -> float | None:
    """The processor's base clock as the registry has it."""
    try:
        import winreg
    except ImportError:  # another system
        return None
    place = r"HARDWARE\DESCRIPTION\System\CentralProcessor\0"
    try:
        with winreg.OpenKey(winreg.HKEY_LOCAL_MACHINE, place) as key:  # type: ignore[attr-defined,unused-ignore]
            return float(winreg.QueryValueEx(key, "~MHz")[0])  # type: ignore[attr-defined,unused-ignore]
    except OSError:
        return None


def of_class(name: str, *fields: str) -> dict[str, str]:
    """Fields of one of the system's own information classes, as text."""
    ask = f"Get-CimInstance {name} | Select-Object {', '.join(fields)} | ConvertTo-Json -Compress"
    return told(said_by(["powershell", "-NoProfile", "-NonInteractive", "-Command", ask]))


def told(text: str) -> dict[str, str]:
    """The fields of one JSON object; of the first where there are several; none where there is none.

    >>> told('{"SMBIOSBIOSVersion":"F3","ReleaseDate":null}')
    {'SMBIOSBIOSVersion': 'F3'}
    >>> told("Get-CimInstance : not recognised")
    {}
    """
    try:
        found = json.loads(text)
    except ValueError:
        return {}
    first = found[0] if isinstance(found, list) and found else found
    fields = first if isinstance(first, dict) else {}
    return {key: str(value).strip() for key, value in fields.items() if value is not None}


def installed_memory_mib() -> float | None:
    """All memory that the system sees, which it gives in KiB."""
    size = of_class("Win32_OperatingSystem", "TotalVisibleMemorySize").get("TotalVisibleMemorySize", "")
    return float(size) / 1024 if size.isdigit() else None


def stamps() -> dict[str, str]:
    """System, firmware and power plan as the machine names them."""
    system = of_class("Win32_OperatingSystem", "Caption", "Version")
    found = {
        "os": " ".join(filter(None, (system.get("Caption"), system.get("Version")))),
        "firmware": of_class("Win32_BIOS", "SMBIOSBIOSVersion").get("SMBIOSBIOSVersion", ""),
        "power plan": plan_of(said_by(["powercfg", "/getactivescheme"])),
    }
    return {key: value for key, value in found.items() if value}


def plan_of(text: str) -> str:
    """The name in brackets of the power plan in use.

    >>> plan_of("Power Scheme GUID: 381b4222-f694-41f0-9685-ff5bb260df2e  (Balanced)")
    'Balanced'
    """
    return text.strip().rpartition("(")[2].removesuffix(")") if "(" in text else ""


def boot() -> str | None:
    """What names this start of the machine: when it was started."""
    return of_class("Win32_OperatingSystem", "LastBootUpTime").get("LastBootUpTime")
