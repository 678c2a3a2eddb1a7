"""Noise, as read off a sound level meter."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundReading:
    """One reading beside a setup while a test ran: level with the machine on, and of the room without it.

    Both in dB(A), at `distance_m` from the machine. `test` is None for a machine at rest.
    """

    id: str
    setup: str
    level_db: float
    background_db: float
    test: str | None = None
    distance_m: float | None = None
    at: datetime | None = None
    meter: str = ""
    note: str = ""
