"""Which voltage to set for a clock, with a reserve for what is not known, within the maker's limit."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from evenhand.records.trials import Limit, Quantity
from evenhand.tuning.bearing import NO_BEARING, Bearing
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
    NOT_CURED = "perhaps failures that no voltage cures"
    PAST_LIMIT = "what is needed so surely lies past the limit"
    TOO_HOT = "by what was read there or beyond, it gets hotter in the hottest room than is allowed"
    TOO_HOT_BY_LOG = (
        "by its temperature log and the watts read there or beyond, it gets hotter in the hottest room than "
        "is allowed"
    )
    TOO_MUCH_POWER = "by what was read there or beyond, it draws more than is allowed"
    UNDER_STOCK = "what meets the target lies below stock"
    FEW_HOURS = "these hours cannot promise any clock above stock yet"
    STOCK_FAILED = "stock itself failed"


BY_QUANTITY = {Quantity.TEMPERATURE: Withheld.TOO_HOT, Quantity.POWER: Withheld.TOO_MUCH_POWER}
"""Why nothing is advised where a point is expected past the limit of a quantity."""

PAST_A_LIMIT = frozenset({Withheld.PAST_LIMIT, Withheld.TOO_HOT_BY_LOG, *BY_QUANTITY.values()})
"""Where a lower clock may still lie within the limits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """What an advised voltage has to meet: a rate per hour in the hottest room, how surely, on which step.

    A clock that is advised alone lies on a step of `step_mhz`.
    """

    room_c: float
    step_mv: float
    rate: float = TARGET_RATE
    share: float = SHARE
    step_mhz: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """A voltage for a clock, or why there is none.

    `edge_mv` is the edge in that room: the ends of its central 95 % and, between them, its middle.
    `needed_mv` is the voltage that meets the goal, in the middle and as surely as the goal asks.

    `meant_mv` is the voltage that would be advised if the part kept cool and drew little enough there.

    Of a part whose voltage is left alone the clock itself is advised: `edge_mhz` and `meets_mhz` are then the
    same along the clock, and `clock_mhz` is what is advised, or the highest that held where nothing is.
    """

    clock_mhz: float
    goal: Goal
    edge_mv: tuple[float, float, float] | None = None
    needed_mv: tuple[float, float] | None = None
    voltage_mv: float | None = None
    withheld: Withheld | None = None
    limit: Limit | None = None
    edge_mhz: tuple[float, float, float] | None = None
    meets_mhz: tuple[float, float] | None = None
    meant_mv: float | None = None

    @property
    def guard_band_mv(self) -> float | None:
        """How far the advised voltage lies above the middle of the edge, the reserve included."""
        if self.voltage_mv is None or self.edge_mv is None:
            return None
        return self.voltage_mv - self.edge_mv[1]

    @property
    def guard_band_mhz(self) -> float | None:
        """How far a clock that is advised alone lies below the middle of the edge, the reserve included."""
        if self.voltage_mv is None or self.edge_mhz is None:
            return None
        return self.edge_mhz[1] - self.clock_mhz

    @property
    def reserve_mhz(self) -> float | None:
        """What a clock that is advised alone stays below the one that most likely meets the goal."""
        if self.voltage_mv is None or self.meets_mhz is None:
            return None
        return self.meets_mhz[0] - self.clock_mhz

    @property
    def reserve_mv(self) -> float | None:
        """What the advised voltage has over what is most likely needed."""
        if self.voltage_mv is None or self.needed_mv is None:
            return None
        return self.voltage_mv - self.needed_mv[0]


def advise(
    edge: Edge, evidence: Evidence, clock_mhz: float, goal: Goal, limit: Limit | None,
    bearing: Bearing = NO_BEARING,
) -> Advice:  # fmt: skip
    """The voltage that meets a goal at a clock, rounded up to the next step, never past the maker's limit.

    Nor does it lie below all that held there. Without a limit none is advised, whatever the trials tell; nor
    is one at which the part is expected past a limit of its temperature or power.
    """
    low, middle, high = edge.edge_mv(clock_mhz, goal.room_c, 0.025, 0.5, 0.975)
    needed, safely = edge.needed_mv(clock_mhz, goal.room_c, goal.rate, 0.5, goal.share)
    voltage = math.ceil(round(safely / goal.step_mv, 6)) * goal.step_mv
    voltage = max(voltage, lowest_held(evidence, clock_mhz))
    withheld = withheld_of(edge, evidence, limit)
    if withheld is None and limit is not None and voltage > limit.most:
        withheld = Withheld.PAST_LIMIT
    meant = None if withheld else voltage
    withheld = withheld or past_of(bearing, clock_mhz, voltage)
    return Advice(
        clock_mhz=clock_mhz, goal=goal, edge_mv=(low, middle, high), needed_mv=(needed, safely),
        voltage_mv=None if withheld else voltage, withheld=withheld, limit=limit, meant_mv=meant,
    )  # fmt: skip


def past_of(bearing: Bearing, clock_mhz: float, voltage_mv: float) -> Withheld | None:
    """Why nothing is advised at a point for its temperature or its power."""
    past = bearing.past(clock_mhz, voltage_mv)
    if past is Quantity.TEMPERATURE and bearing.past_by_log(clock_mhz, voltage_mv):
        return Withheld.TOO_HOT_BY_LOG
    return None if past is None else BY_QUANTITY[past]


def lowest_held(evidence: Evidence, clock_mhz: float) -> float:
    """The lowest voltage at which nothing failed at a clock or at a higher one; −inf where there is none."""
    held = (evidence.failures == 0) & (evidence.hours > 0) & (evidence.clock_mhz >= clock_mhz)
    return float(evidence.voltage_mv[held].min(initial=math.inf)) if held.any() else -math.inf


def withheld_of(edge: Edge, evidence: Evidence, limit: Limit | None) -> Withheld | None:
    """Why nothing is advised by what was tried, the first reason that holds."""
    if limit is None:
        return Withheld.NO_LIMIT
    if not ((evidence.failures == 0) & (evidence.hours > 0)).any():
        return Withheld.NEVER_HELD
    if not evidence.failed:
        return Withheld.NEVER_FAILED
    if edge.uncured > MOST_UNCURED:
        return Withheld.NOT_CURED
    return Withheld.TOO_FEW if evidence.failed < LEAST_FAILURES else None
