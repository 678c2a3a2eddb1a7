"""The tables of a study file on tuned parts, the limits of their makers, and trials."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from pydantic import AwareDatetime, Field, StringConstraints

from evenhand.folders.table import Key, Plain, PlainLines, Positive, RoomTemperature, Table, Words
from evenhand.folders.turn_tables import TurnTable
from evenhand.folders.worth_tables import Day
from evenhand.records.trials import Meter, Outcome, Quantity

MOST_MHZ, MOST_MV, MOST_HOURS, MOST_ERRORS = 100_000.0, 20_000.0, 10_000.0, 10**9
MOST_W = 10_000.0

Clock = Annotated[float, Field(gt=0, le=MOST_MHZ)]
Voltage = Annotated[float, Field(ge=-MOST_MV, le=MOST_MV)]
Hours = Annotated[float, Field(ge=0, le=MOST_HOURS)]
Named = Annotated[str, StringConstraints(min_length=1, max_length=200, pattern=r"\S"), Plain]
Short = Annotated[str, StringConstraints(max_length=200), Plain]
Note = Annotated[str, StringConstraints(max_length=2000), PlainLines]
Settings = Annotated[Mapping[Named, Short], Field(max_length=40)]


class LimitTable(Table):
    """The most that a part's maker allows of one quantity."""

    quantity: Annotated[Quantity, Field(strict=False)]
    most: Positive
    source: Annotated[Words, Plain]
    read_on: Day


class LimitInFile(LimitTable):
    """[[tuned.limits]]: a limit as a file has it, with what became of it."""

    turns: list[TurnTable] = Field(default_factory=list)


class TunedTable(Table):
    """A part of a setup whose clock and voltage are tried."""

    setup: Key
    part: Named
    stock_clock_mhz: Clock
    clock_step_mhz: Clock
    voltage_step_mv: Annotated[float, Field(ge=0, le=1000)]
    stock_voltage_mv: Annotated[float, Field(gt=0, le=MOST_MV)] | None = None
    offset: bool = False
    hottest_room_c: RoomTemperature | None = None


class TunedInFile(TunedTable):
    """[[tuned]]: a tuned part as a file has it, with the limits of its maker."""

    limits: list[LimitInFile] = Field(default_factory=list)


class TrialTable(Table):
    """One trial of a tuned part."""

    setup: Key
    part: Named
    clock_mhz: Clock
    voltage_mv: Voltage
    load: Named
    hours: Hours
    outcome: Annotated[Outcome, Field(strict=False)]
    planned_h: Annotated[float, Field(gt=0, le=MOST_HOURS)] | None = None
    found_after_h: Hours | None = None
    errors: Annotated[int, Field(ge=0, le=MOST_ERRORS)] = 0
    corrected: Annotated[int, Field(ge=0, le=MOST_ERRORS)] = 0
    settings: Settings = Field(default_factory=dict)
    room_c: RoomTemperature | None = None
    hottest_c: Annotated[float, Field(ge=-40, le=150)] | None = None
    watts: Annotated[float, Field(gt=0, le=MOST_W)] | None = None
    watts_at: Annotated[Meter, Field(strict=False)] | None = None
    at: AwareDatetime | None = None
    note: Note = ""
    by: Short = ""
    key: Short = ""


class TrialInFile(TrialTable):
    """[[trials]]: a trial as a file has it, with what became of it."""

    turns: list[TurnTable] = Field(default_factory=list)
