"""Trials of a part at a clock and a voltage, how they ended, and the limits its maker sets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum


class Outcome(StrEnum):
    """How a trial ended."""

    PASSED = "passed"
    WRONG_RESULT = "wrong result"
    ERROR = "error"
    CRASH = "crash"
    REBOOT = "reboot"
    THROTTLED = "throttled"
    STOPPED = "stopped"

    @property
    def failed(self) -> bool:
        """Whether the part failed: what was throttled or stopped has only not been seen to."""
        return self in _FAILURES

    @property
    def meaning(self) -> str:
        """When a trial ended so, in a few words."""
        return _MEANINGS[self]


_FAILURES = frozenset({Outcome.WRONG_RESULT, Outcome.ERROR, Outcome.CRASH, Outcome.REBOOT})

_MEANINGS: Mapping[Outcome, str] = {
    Outcome.PASSED: "it ran to its end and every answer was right",
    Outcome.WRONG_RESULT: "an answer was another than at stock",
    Outcome.ERROR: "the load or the system told an error",
    Outcome.CRASH: "the load, the driver or the screen was gone, or everything stood still",
    Outcome.REBOOT: "the machine started anew by itself, or would not start",
    Outcome.THROTTLED: "the part fell below the clock that was tried: the time before counts",
    Outcome.STOPPED: "somebody or a limit ended it before its time: the time before counts",
}


class Meter(StrEnum):
    """Where the watts of a trial were read: two meters tell of two things, and go into no fit together."""

    WALL = "wall"
    PART = "part"

    @property
    def meaning(self) -> str:
        """What it reads, in a few words."""
        return _METERS[self]


_METERS: Mapping[Meter, str] = {
    Meter.WALL: "a meter between machine and wall socket: the whole machine, with what its supply loses",
    Meter.PART: "the part's own sensor, or that of its package: what it says it draws, and nothing else",
}


class Quantity(StrEnum):
    """What a maker sets a limit to, with its unit here."""

    VOLTAGE = "voltage"
    CLOCK = "clock"
    TEMPERATURE = "temperature"
    POWER = "power"

    @property
    def unit(self) -> str:
        """The unit in which it is kept."""
        return {"voltage": "mV", "clock": "MHz", "temperature": "°C", "power": "W"}[self.value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The most that a part's maker allows of one quantity, in its unit, and where that is written.

    `id` is 0 until it is on record.
    """

    quantity: Quantity
    most: float
    source: str
    read_on: date
    id: int = 0

    @property
    def own(self) -> bool:
        """Whether whoever tunes set it, and not the maker: its source begins with "ourselves"."""
        return self.source.strip().casefold().startswith("ourselves")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tuned:
    """A part of one setup whose clock and voltage are tried: its steps in firmware and where stock lies.

    `part` is a kind ("processor", "memory", "graphics"). `offset` says that voltages are written as the
    firmware writes them, added to what the part asks for by itself, and may be below zero. Steps are what
    the firmware offers, in MHz and mV; a step of 0 mV says that the voltage is left alone, so that every
    trial has an offset of 0. `hottest_room_c` is the warmest room that it has to run in.
    """

    setup: str
    part: str
    stock_clock_mhz: float
    stock_voltage_mv: float | None
    clock_step_mhz: float
    voltage_step_mv: float
    offset: bool = False
    hottest_room_c: float | None = None
    limits: tuple[Limit, ...] = ()

    @property
    def clock_alone(self) -> bool:
        """Whether only its clock is tuned, since firmware offers no voltage or it is left as it is."""
        return not self.voltage_step_mv

    def limit(self, quantity: Quantity) -> Limit | None:
        """The maker's limit of a quantity, the lowest where several are on record."""
        of_it = [limit for limit in self.limits if limit.quantity is quantity]
        return min(of_it, key=lambda limit: limit.most, default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One trial of a tuned part: what was set, what ran, for how long, and how it ended.

    `hours` is how long it is known to have held: to its end, or to the failure. Where a failure was only
    found later, as after a hang, `found_after_h` is by when it had failed; None where the time is exact.
    `errors` are counted where a load reports them and goes on, `corrected` how many of them something put
    right, as memory with correction does: the answers were right then. `settings` are what else was set, as
    the user names it ("load-line": "level 4"): trials under other settings tell of another edge. `room_c` is
    the air that the machine draws in, `hottest_c` the part's own highest reading. `watts` are their mean
    while the load ran, read `watts_at` the wall or the part; both or neither. `by` says who wrote it
    down: a rig's name, or "" by hand. `key` is one trial's own, "" until it has one: sent twice with the same
    key it is one trial. `id` is 0 until it is on record.
    """

    setup: str
    part: str
    clock_mhz: float
    voltage_mv: float
    load: str
    hours: float
    outcome: Outcome
    planned_h: float | None = None
    found_after_h: float | None = None
    errors: int = 0
    corrected: int = 0
    settings: Mapping[str, str] = field(default_factory=dict)
    room_c: float | None = None
    hottest_c: float | None = None
    watts: float | None = None
    watts_at: Meter | None = None
    at: datetime | None = None
    note: str = ""
    by: str = ""
    key: str = ""
    id: int = 0
