"""Which column of a log is what: proposed by the program, confirmed once by a person."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class LogKind(StrEnum):
    """What a log holds."""

    FRAMES = "frames"
    SENSORS = "sensors"
    SCORES = "scores"


class Role(StrEnum):
    """What a column may mean."""

    FRAME_TIME = "frame time"
    ELAPSED = "elapsed time"
    TIMESTAMP = "time of day"
    PROCESSOR_SHARE = "processor share"
    GRAPHICS_SHARE = "graphics share"
    CLOCK = "clock"
    TEMPERATURE = "temperature"
    POWER = "power"
    LOAD = "load"
    FAN = "fan"
    MEMORY = "memory"
    VOLTAGE = "voltage"
    TEST = "test"
    RUN = "run"
    SCORE = "score"
    IGNORED = "not used"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: header as written, role, unit symbol and, for sensors, what it sits on."""

    header: str
    role: Role
    unit: str = ""
    about: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """The confirmed meaning of one header line.

    `fingerprint` identifies the header (see `traces.fingerprints`), so that the next file with the
    same header needs no question; on record it goes on with a mark of the columns, since one header may
    have had several layouts. `columns` lists only columns that are used.
    """

    fingerprint: str
    kind: LogKind
    columns: tuple[Column, ...]
    name: str = ""

    def first(self, role: Role) -> Column | None:
        """The first column in this role."""
        return next((c for c in self.columns if c.role is role), None)
