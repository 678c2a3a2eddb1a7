"""The noun of everything that prose may quote: a figure of the record under its address."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum


class Sort(StrEnum):
    """What a figure is of."""

    RATE = "rate"
    LOW = "low"
    LEAD = "lead"
    FORECAST = "forecast"
    CHANCE = "chance"
    PRICE = "price"
    BREAK_EVEN = "break-even"
    WATTS = "watts"
    JOULES = "joules"
    NOISE = "noise"
    HEAT = "heat"
    RUNS = "runs"
    BOOTS = "boots"
    MARGIN = "margin"
    CLAIM = "claim"
    HOURS = "hours"
    FAILURES = "failures"
    BOUND = "bound"
    CLOCK = "clock"
    VOLTAGE = "voltage"
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Quotable:
    """One figure: `value` with `low` and `high` at `level`, all in `unit`, None where there is no interval.

    `address` names it in plain words ("lead of plover over dunlin in salt-causeway"). `words` is the figure
    as it is printed, rounded by its interval, `ranged` the same with its interval. `definition` says what it
    is, `source` from what it was worked out. `called`: not unsettled, so that a side may be named by it;
    `day` is a price's. `setups`, `tests`, `group`, `audience` are the keys of what it is about. `caution` is
    what has to be known with it, "" for nothing.
    """

    address: str
    sort: Sort
    value: float
    unit: str
    words: str
    ranged: str
    definition: str
    source: str
    low: float | None = None
    high: float | None = None
    level: float | None = None
    n: int | None = None
    setups: tuple[str, ...] = ()
    tests: tuple[str, ...] = ()
    group: str = ""
    audience: str = ""
    metric: str = ""
    day: date | None = None
    called: bool = True
    caution: str = ""

    def unsaid(self) -> Quotable:
        """What it is about, without the figure."""
        return Quotable(
            address=self.address, sort=self.sort, value=0.0, unit=self.unit, words="", ranged="",
            definition="", source="", setups=self.setups, tests=self.tests, group=self.group,
            audience=self.audience, metric=self.metric,
        )  # fmt: skip
