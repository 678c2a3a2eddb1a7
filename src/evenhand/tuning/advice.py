"""Which voltage to set for a clock, with a reserve for what is not known, within the maker's limit."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from evenhand.records.trials import Limit
from evenhand.tuning.edge import Edge
from evenhand.tuning.evidence import Evidence

TARGET_RATE = 1e-3
"""Failures per hour that are put up with: one in a thousand hours of the load."""

SHARE = 0.97
"""How surely the advised voltage is to meet the target, by what is known of the part. The plan ends once
the reserve looks small, which it does by luck too: at 0.95, 94.6 % of parts with the widest e-fold met it."""

LEAST_FAILURES = 3
"""Fewer failures tell next to nothing of how fast they become fewer: the reserve would be a guess."""

MOST_UNCURED = 0.2
"""Where it is more likely than this that some failures are cured by no voltage, none is advised."""


class Withheld(StrEnum):
    """Why no voltage is advised."""

    NO_LIMIT = "no limit of the maker's is on record"
    NEVER_HELD = "no point held"
    NEVER_FAILED = "no point failed: the edge was not reached"
    TOO_FEW = "too few failures"
    NOT_CURED = "failures that no voltage cures"
    PAST_LIMIT = "what is needed lies past the maker's limit"


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """What an advised voltage has to meet: a rate per hour in the hottest room, how surely, on which step."""

    room_c: float
    step_mv: float
    rate: float = TARGET_RATE
    share: float = SHARE


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """A voltage for a clock, or why there is none.

    `edge_mv` is the edge in that room: the ends of its central 95 % and, between them, its middle.
    `needed_mv` is the voltage that meets the goal, in the middle and as surely as the goal asks.
    """

    clock_mhz: float
    goal: Goal
    edge_mv: tuple[float, float, float] | None = None
    needed_mv: tuple[float, float] | None = None
    voltage_mv: float | None = None
    withheld: Withheld | None = None
    limit: Limit | None = None

    @property
    def reserve_mv(self) -> float | None:
        """What the advised voltage has over what is most likely needed."""
        if self.voltage_mv is None or self.needed_mv is None:
            return None
        return self.voltage_mv - self.needed_mv[0]


def advise(edge: Edge, evidence: Evidence, clock_mhz: float, goal: Goal, limit: Limit | None) -> Advice:
    """The voltage that meets a goal at a clock, rounded up to the next step, never past the maker's limit.

    Without a limit none is advised, whatever the trials tell.
    """
    low, middle, high = edge.edge_mv(clock_mhz, goal.room_c, 0.025, 0.5, 0.975)
    needed, safely = edge.needed_mv(clock_mhz, goal.room_c, goal.rate, 0.5, goal.share)
    voltage = math.ceil(round(safely / goal.step_mv, 6)) * goal.step_mv
    withheld = _withheld(edge, evidence, limit, voltage)
    return Advice(
        clock_mhz=clock_mhz, goal=goal, edge_mv=(low, middle, high), needed_mv=(needed, safely),
        voltage_mv=None if withheld else voltage, withheld=withheld, limit=limit,
    )  # fmt: skip


def _withheld(edge: Edge, evidence: Evidence, limit: Limit | None, voltage: float) -> Withheld | None:
    """Why a voltage is not advised, the first reason that holds."""
    if limit is None:
        return Withheld.NO_LIMIT
    if not ((evidence.failures == 0) & (evidence.hours > 0)).any():
        return Withheld.NEVER_HELD
    if not evidence.failed:
        return Withheld.NEVER_FAILED
    if edge.uncured > MOST_UNCURED:
        return Withheld.NOT_CURED
    if evidence.failed < LEAST_FAILURES:
        return Withheld.TOO_FEW
    return Withheld.PAST_LIMIT if voltage > limit.most else None


def highest_clock(edge: Edge, voltage_mv: float, goal: Goal, clock_step_mhz: float) -> float:
    """The highest clock that meets a goal at a voltage, rounded down to the next step.

    For parts whose voltage stays as it is: memory, graphics cards.
    """
    (clock,) = edge.clock_mhz_at(voltage_mv, goal.room_c, goal.rate, 1 - goal.share)
    return math.floor(round(clock / clock_step_mhz, 6)) * clock_step_mhz
