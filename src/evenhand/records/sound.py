"""What a sound level meter and thermometers read beside one setup."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundReading:
    """One reading of the meter, with what was hot at the time.

    `test` is what the machine did meanwhile, "" where it idled. `level_db` is the room with the machine
    running, `background_db` the room without it, just before or after. Both are read with the same meter at
    the same place, `distance_m` from the machine, with the filter that `weighting` names. `temperatures_c`
    are the parts' own by kind ("processor", "graphics"), `room_c` the air that the machine draws in.
    `id` is 0 until it is on record.
    """

    setup: str
    level_db: float
    background_db: float | None
    test: str = ""
    distance_m: float | None = None
    weighting: str = "A"
    temperatures_c: Mapping[str, float] = field(default_factory=dict)
    room_c: float | None = None
    at: datetime | None = None
    note: str = ""
    id: int = 0
