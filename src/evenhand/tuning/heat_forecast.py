"""How warm a part gets: at another power, in another room, under another cooler, minute by minute.

A warmer room is passed on one for one, but only where fan and power stay as they were: a fan that speeds up
cools better, and a part that is warmer leaks more. Bands are those of the network, of the room and of the
cooler; what a single reading scatters about them comes on top.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from evenhand.errors import NotEnoughRuns
from evenhand.records.trials import Limit, Quantity
from evenhand.stats.spread import Floats
from evenhand.tuning.bands import Band, Known, around, errors, reach
from evenhand.tuning.heat_log import HeatLog
from evenhand.tuning.network import Stage, course
from evenhand.tuning.network_fit import Fit

SINK_S = 104.0
"""A cooler takes one to three minutes: the stage nearest to √(60·180) s is taken for it."""

ASK_ROOM = "write down the room's temperature during the log; until then only differences can be told"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Course:
    """Temperatures over time with their band, each of shape (n,): seconds and °C."""

    time_s: Floats
    temperature_c: Floats
    low_c: Floats
    high_c: Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Headroom:
    """How far below the maker's limit a part stays once it is steady, in °C, and the limit."""

    by_c: Band
    limit: Limit


def steady(fit: Fit, watts: float, room_c: Known | None = None) -> Band:
    """The temperature once everything is warm; without a room, that of the log (its mean).

    Raises `NotEnoughRuns` where another room is asked for and the log's own is not on record.
    """
    weights = np.zeros(fit.values.size)
    weights[fit.stages : 2 * fit.stages] = watts
    if room_c is not None:
        room_known(fit)
        value = room_c.value + watts * float(fit.c_per_w.sum())
        return around(value, math.hypot(fit.error(weights), room_c.sd), fit.df)
    if fit.log.room_c is None:
        weights[-1] = 1.0
        return around(float(weights @ fit.values), fit.error(weights), fit.df)
    return steady(fit, watts, Known(value=float(fit.log.room_c.mean())))


def difference(fit: Fit, from_w: float, to_w: float) -> Band:
    """How much warmer another power makes it in the end, in °C; needs no room."""
    whole = fit.whole()
    return around((to_w - from_w) * whole.value, abs(to_w - from_w) * whole.half / reach(fit.df), fit.df)


def headroom(fit: Fit, watts: float, limit: Limit | None, room_c: Known | None = None) -> Headroom | None:
    """How far below the maker's limit it stays; None where nobody entered a limit with its source."""
    if limit is None or limit.quantity is not Quantity.TEMPERATURE:
        return None
    at = steady(fit, watts, room_c)
    return Headroom(
        by_c=Band(value=limit.most - at.value, low=limit.most - at.high, high=limit.most - at.low),
        limit=limit,
    )


def onward(fit: Fit, log: HeatLog) -> Course:
    """The rows of a log that begins as the fitted one does and goes on, such as what a fit did not see."""
    error = errors(lambda values: fit.of(log, values), fit.values, fit.covariance)
    return _course(log.time_s, fit.of(log), reach(fit.df) * error)


def planned(fit: Fit, plan: HeatLog, room_c: Known, *, from_w: float = 0.0) -> Course:
    """What a plan of watts does in a room, from the steady state of `from_w` on.

    Only the plan's times and watts count. Raises `NotEnoughRuns` where the log's own room is not on record.
    """
    room_known(fit)
    rises = _planned(fit, plan, from_w)
    error = errors(rises, fit.values, fit.covariance)
    half = reach(fit.df) * np.hypot(error, room_c.sd)
    return _course(plan.time_s, room_c.value + rises(fit.values), half)


def _planned(fit: Fit, plan: HeatLog, from_w: float) -> Callable[[Floats], Floats]:
    n = fit.stages

    def rises(values: Floats) -> Floats:
        stages = [
            Stage(c_per_w=float(r), seconds=math.exp(s))
            for s, r in zip(values[:n], values[n : 2 * n], strict=True)
        ]
        return course(plan, stages, [stage.c_per_w * from_w for stage in stages])

    return rises


def _course(time_s: Floats, temperature_c: Floats, half: Floats) -> Course:
    return Course(
        time_s=time_s, temperature_c=temperature_c, low_c=temperature_c - half, high_c=temperature_c + half
    )


def other_cooler(fit: Fit, cooler_c_per_w: Known, *, stage: int | None = None) -> Known:
    """Degrees per watt in all under another cooler, whose own take the place of this one's stage.

    What lies between chip and cooler and cannot be told from the cooler goes with its stage. How long the
    other one takes hangs on its mass, and is not told. Raises `NotEnoughRuns` where the log shows one stage.
    """
    if fit.stages < 2:
        raise NotEnoughRuns(
            "the log shows one stage: what the cooler does cannot be told from what lies about it",
            todo="hold the load longer, until the second one shows",
        )
    weights = np.zeros(fit.values.size)
    weights[fit.stages : 2 * fit.stages] = 1.0
    weights[fit.stages + (sink_stage(fit) if stage is None else stage)] = 0.0
    return Known(
        value=float(weights @ fit.values) + cooler_c_per_w.value,
        sd=math.hypot(fit.error(weights), cooler_c_per_w.sd),
    )


def steady_under(c_per_w: Known, watts: float, room_c: Known) -> Band:
    """The steady temperature at so many degrees per watt, such as under another cooler."""
    return around(room_c.value + watts * c_per_w.value, math.hypot(watts * c_per_w.sd, room_c.sd))


def sink_stage(fit: Fit) -> int:
    """The stage that is most likely the cooler's: its time constant is nearest to one to three minutes."""
    return int(np.argmin(np.abs(np.log(fit.seconds / SINK_S))))


def room_known(fit: Fit) -> None:
    """Refuses what needs the log's own room, where it is not on record: raises `NotEnoughRuns`."""
    if fit.log.room_c is None:
        raise NotEnoughRuns("the room of the log is not on record", todo=ASK_ROOM)
