"""One quantity that can be read, and one that cannot."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

# Roles are those of a layout's columns: the workbench knows them.
CLOCK, TEMPERATURE, POWER, LOAD, FAN, MEMORY = "clock", "temperature", "power", "load", "fan", "memory"
UNITS = {CLOCK: "MHz", TEMPERATURE: "°C", POWER: "W", LOAD: "%", FAN: "rpm", MEMORY: "MiB"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensor:
    """A quantity: its role, what it sits on, where it is read, and how.

    `read` gives the reading in the role's unit, or None where there is none this time.
    """

    role: str
    about: str
    source: str
    read: Callable[[], float | None]

    @property
    def header(self) -> str:
        """Its column in the log.

        >>> Sensor(role="clock", about="processor", source="", read=lambda: None).header
        'clock of processor [MHz]'
        """
        return f"{self.role} of {self.about} [{UNITS[self.role]}]"


@dataclass(frozen=True, slots=True, kw_only=True)
class Unreadable:
    """A quantity that could not be read, and why."""

    what: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a machine offers, and what it does not."""

    sensors: tuple[Sensor, ...] = ()
    unreadable: tuple[Unreadable, ...] = ()

    def __add__(self, other: Found) -> Found:
        return Found(sensors=self.sensors + other.sensors, unreadable=self.unreadable + other.unreadable)


def told_apart(sensors: Iterable[Sensor]) -> tuple[Sensor, ...]:
    """The sensors, those that would share a column numbered.

    >>> one = Sensor(role="fan", about="board", source="", read=lambda: None)
    >>> [each.about for each in told_apart([one, one])]
    ['board', 'board 2']
    """
    seen: dict[str, int] = {}
    found = []
    for each in sensors:
        count = seen[each.header] = seen.get(each.header, 0) + 1
        about = each.about if count == 1 else f"{each.about} {count}"
        found.append(Sensor(role=each.role, about=about, source=each.source, read=each.read))
    return tuple(found)
