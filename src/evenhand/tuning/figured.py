"""What is known of a tuned part in numbers: each figure with its interval and with what it holds for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from evenhand.records.trials import Limit, Meter
from evenhand.tuning.advice import Goal


class Of(StrEnum):
    """What a figure of a tuned part is of."""

    ADVISED = "advised"
    ENOUGH = "enough"
    EDGE = "edge"
    GUARD_BAND = "guard-band"
    RESERVE = "reserve"
    LIMIT = "limit"
    DRAW = "draw"
    ADDED = "added"
    WORK = "work"
    STEADY = "steady"
    HEADROOM = "headroom"
    WARMING = "warming"
    GAIN = "gain"


BY_THE_LAW = frozenset({Of.ADVISED, Of.ENOUGH, Of.EDGE, Of.GUARD_BAND, Of.RESERVE})
"""What the law of failures says, for a goal: of a clock in mV, or of a clock that is tuned alone in MHz."""

OF_HEAT = frozenset({Of.STEADY, Of.HEADROOM, Of.WARMING})
"""What a log of temperatures says."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TunedFigure:
    """One figure: `value` with `low` and `high` at `level`, all in `unit`, None where there is no interval.

    `clock_mhz` and `voltage_mv` are the point that it is of, `stock` says that this is stock; `spoken` that
    it is the one by which the part is spoken of. Of those by the law `goal` is what they have to meet, of a
    limit `limit`, of watts and work `meter` where they were read, of heat `room_c` and `watts` for what. Of
    what runs gained over stock `test` is one, or "" for all: it is of the whole setup, and `part` is "";
    `over` is the setup at stock, and `answer` says what tuning bought in all.
    `n` counts trials or runs; `doubts` are sentences. `surely` is what is enough as surely as the goal asks.
    """

    of: Of
    setup: str
    part: str
    value: float
    unit: str
    low: float | None = None
    high: float | None = None
    level: float | None = None
    load: str = ""
    settings: Mapping[str, str] = field(default_factory=dict)
    clock_mhz: float | None = None
    voltage_mv: float | None = None
    offset: bool = False
    stock: bool = False
    spoken: bool = False
    goal: Goal | None = None
    surely: float | None = None
    limit: Limit | None = None
    meter: Meter | None = None
    room_c: float | None = None
    watts: float | None = None
    test: str | None = None
    over: str = ""
    answer: str = ""
    n: int | None = None
    doubts: tuple[str, ...] = ()

    @property
    def at_clock(self) -> float | None:
        """The clock that it is asked of; None where the clock itself is what was found."""
        return None if self.unit == "MHz" and self.of in BY_THE_LAW else self.clock_mhz
