"""What a log holds once it is read: a Trace of frames, a SensorLog, or a ScoreTable."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np
import numpy.typing as npt

from evenhand.records.layouts import Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Flaw:
    """Something wrong in a log: what, how often, and the line where it first stands (1 is the first line)."""

    kind: str
    detail: str
    line: int | None = None
    count: int = 1


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Trace:
    """One run's frames, exactly as logged.

    `frame_times_ms`: shape (n,), milliseconds; unreadable fields are NaN and listed as flaws.
    `elapsed_s`: shape (n,), seconds of a clock logged beside the frame times, or None; None also where
    frame times were derived from it (`derived`), since it is then no second witness.
    `processor_ms`, `graphics_ms`: shape (n,) or None, the shares of each frame that the log names.
    """

    frame_times_ms: npt.NDArray[np.float64]
    elapsed_s: npt.NDArray[np.float64] | None = None
    processor_ms: npt.NDArray[np.float64] | None = None
    graphics_ms: npt.NDArray[np.float64] | None = None
    derived: bool = False
    flaws: tuple[Flaw, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Channel:
    """One sensor's readings, shape (n,), in the own unit of its quantity (see `evenhand.units`)."""

    role: Role
    about: str
    unit: str
    values: npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SensorLog:
    """Sensor readings over time: `time_s` has shape (n,), seconds from the first reading."""

    time_s: npt.NDArray[np.float64]
    channels: tuple[Channel, ...]
    started_at: datetime | None = None
    flaws: tuple[Flaw, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreRow:
    """One line of a score table."""

    test: str
    run: str
    score: float
    line: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreTable:
    """A table of scores, in the order written."""

    rows: tuple[ScoreRow, ...]
    flaws: tuple[Flaw, ...] = ()
