"""Parts whose voltage is left alone, as memory often is: the edge and the advice along the clock.

The model is that of `tuning.edge` with MHz in place of millivolts: a clock that is 1 MHz lower counts as much
as a voltage that is 1 mV higher, so that the slope is 1 and known. What is believed beforehand goes by shares
of the stock clock, since makers count the clocks of memory in more than one way.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.records.trials import Limit
from evenhand.stats.spread import Floats
from evenhand.tuning.advice import Advice, Goal, Withheld, past_of, withheld_of
from evenhand.tuning.bearing import NO_BEARING, Bearing
from evenhand.tuning.edge import EDGE_RATE, Beliefs, Edge, learn
from evenhand.tuning.evidence import Evidence

SPREAD_SHARE, SPREAD_SD = 0.003, 0.9
"""The clock by which failures become more by the factor e: 0.3 % of stock, 0.05 to 1.8 % at 95 %."""

EDGE_SHARE = 0.15  # of stock: how far from the middle of what was tried the edge may lie, one sd
SHARES_OF_TIME = (1 / 6, 1 / 2, 5 / 6)  # where in the hours it may fail: the middles of three equal parts
MOST_WEIGHED = 12  # clocks below the edge at which an hour is weighed
WARMTH_SHARE = 0.0002  # of stock a kelvin: by so much a warmer room lowers it, give or take as much


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockProspect:
    """What hours at a clock would change: how likely it holds, and the clock that meets the goal then."""

    clock_mhz: float
    hours: float
    holds: float
    now_mhz: float
    if_held_mhz: float
    if_failed_mhz: float

    @property
    def gain_mhz(self) -> float:
        """By how much the clock that meets the goal rises on average."""
        then = self.holds * self.if_held_mhz + (1 - self.holds) * self.if_failed_mhz
        return then - self.now_mhz

    @property
    def tells(self) -> bool:
        """Whether holding would change a whole megahertz."""
        return math.floor(self.if_held_mhz) != math.floor(self.now_mhz)


def beliefs_of(stock_mhz: float) -> Beliefs:
    """What is taken for likely of a part whose clock alone is tuned, in MHz."""
    plain = Beliefs()
    warmth = WARMTH_SHARE * stock_mhz
    return Beliefs(
        spread_mv=SPREAD_SHARE * stock_mhz, spread_sd=SPREAD_SD, edge_sd_mv=EDGE_SHARE * stock_mhz,
        slope=1.0, slope_sd=1e-4, warmth=warmth, warmth_sd=warmth, floors=plain.floors,
    )  # fmt: skip


def learn_clock(evidence: Evidence, stock_mhz: float) -> Edge:
    """What trials tell of the edge along the clock. Raises ValueError without any."""
    return learn(evidence, beliefs_of(stock_mhz))


def edge_mhz(edge: Edge, room_c: float, *shares: float) -> tuple[float, ...]:
    """Quantiles of the clock at which the part fails once in ten minutes in a room."""
    return edge.clock_mhz_at(0.0, room_c, EDGE_RATE, *shares)


def advise_clock(
    edge: Edge, evidence: Evidence, goal: Goal, limit: Limit | None, *, stock_mhz: float, held_mhz: float,
    bearing: Bearing = NO_BEARING,
) -> Advice:  # fmt: skip
    """The highest clock that meets a goal, on a step from stock up, never past a limit of the maker's.

    `held_mhz` is the highest that held: none above it is advised, and where none is the advice is of it.
    """
    low, middle, high = edge_mhz(edge, goal.room_c, 0.025, 0.5, 0.975)
    likely, surely = edge.clock_mhz_at(0.0, goal.room_c, goal.rate, 0.5, 1 - goal.share)
    most = min(surely, held_mhz) if limit is None else min(surely, held_mhz, limit.most)
    clock = stock_mhz + math.floor(round((most - stock_mhz) / goal.step_mhz, 6)) * goal.step_mhz
    withheld = withheld_of(edge, evidence, limit)
    if withheld is None and clock < stock_mhz:
        withheld = Withheld.UNDER_STOCK if middle < stock_mhz else Withheld.FEW_HOURS
    while withheld is None and (past := past_of(bearing, clock, 0.0)):
        clock -= goal.step_mhz
        withheld = past if clock < stock_mhz else None
    return Advice(
        clock_mhz=held_mhz if withheld else clock, goal=goal, edge_mhz=(low, middle, high),
        meets_mhz=(likely, surely), voltage_mv=None if withheld else 0.0, withheld=withheld, limit=limit,
    )  # fmt: skip


class _Meets:
    """The clocks that meet a goal, by all that a part may be, in order once."""

    def __init__(self, edge: Edge, goal: Goal) -> None:
        depth = edge.spread_mv * math.log(EDGE_RATE / goal.rate)
        left = depth + edge.at(edge.clock_mhz, goal.room_c)
        clocks = edge.clock_mhz - left / np.maximum(edge.lines[:, 1], 1e-6)
        self._order = np.flatnonzero(edge.floor == 0)
        self._order = self._order[np.argsort(clocks[self._order])]
        self._clocks, self._weights = clocks[self._order], edge.weights[self._order]
        self._share = 1 - goal.share

    def surely(self, likelihood: Floats | None = None) -> float:
        """The clock that meets it as surely as is asked, once something of that likelihood was seen."""
        told = self._weights if likelihood is None else self._weights * likelihood[self._order]
        passed = np.cumsum(told)
        place = np.searchsorted(passed, self._share * passed[-1])
        return float(self._clocks[min(int(place), len(self._clocks) - 1)])


def clock_prospect(
    edge: Edge, clock_mhz: float, room_c: float, hours: float, goal: Goal, meets: _Meets | None = None
) -> ClockProspect:
    """What so many hours at a clock would change of the one that meets the goal."""
    meets = meets or _Meets(edge, goal)
    rate = edge.rate(0.0, clock_mhz, room_c)
    held = np.exp(-hours * rate)
    failed = np.mean([rate * np.exp(-hours * share * rate) for share in SHARES_OF_TIME], axis=0)
    return ClockProspect(
        clock_mhz=clock_mhz, hours=hours, holds=float(edge.weights @ held), now_mhz=meets.surely(),
        if_held_mhz=meets.surely(held), if_failed_mhz=meets.surely(failed),
    )  # fmt: skip


def telling_clock(
    edge: Edge, clocks_mhz: Sequence[float], room_c: float, hours: float, goal: Goal
) -> ClockProspect | None:
    """Of hours at a clock below the edge those that on average raise most what surely meets the goal.

    `clocks_mhz` are those that firmware offers, ascending; the highest below the edge are weighed. None
    where no such clock is offered.
    """
    (middle,) = edge_mhz(edge, room_c, 0.5)
    meets = _Meets(edge, goal)
    below = [clock for clock in clocks_mhz if clock <= middle][-MOST_WEIGHED:]
    found = [clock_prospect(edge, clock, room_c, hours, goal, meets) for clock in below]
    return max(found, key=lambda each: each.gain_mhz, default=None)
