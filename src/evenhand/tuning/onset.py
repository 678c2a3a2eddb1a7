"""Where a limit of temperature is reached: at which power, in which room, after how long."""

from __future__ import annotations

import math

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.tuning.bands import Band, Known, around, errors
from evenhand.tuning.heat_forecast import planned, room_known, steady
from evenhand.tuning.heat_log import HeatLog
from evenhand.tuning.network_fit import Fit

ROWS = 2000  # of a forecast in which a moment is looked for
SPANS = 12.0  # slowest time constants after which nothing changes any more


def power_at(fit: Fit, limit_c: float, room_c: Known) -> Band:
    """The watts at which the steady state is the limit, in a room."""
    room_known(fit)

    def watts(values: Floats) -> Floats:
        return np.array([(limit_c - room_c.value) / values[fit.stages : 2 * fit.stages].sum()])

    value = float(watts(fit.values)[0])
    own = float(errors(watts, fit.values, fit.covariance)[0])
    return around(value, math.hypot(own, room_c.sd / float(fit.c_per_w.sum())), fit.df)


def room_at(fit: Fit, limit_c: float, watts: float) -> Band:
    """The room at which the steady state of a power is the limit, at the fan's speed of the log."""
    room_known(fit)
    rise = steady(fit, watts, Known(value=0.0))
    return Band(value=limit_c - rise.value, low=limit_c - rise.high, high=limit_c - rise.low)


def reached_after(
    fit: Fit, limit_c: float, watts: float, room_c: Known, *, from_w: float = 0.0
) -> Band | None:
    """Seconds under a power until the limit is reached; None where it most surely never is.

    An end is infinite where the band of temperatures never gets there.
    """
    times = np.r_[0.0, np.geomspace(float(fit.seconds[0]) / 100, SPANS * float(fit.seconds[-1]), ROWS)]
    plan = HeatLog(
        time_s=times, temperature_c=np.full(times.size, np.nan), watts=np.full(times.size, watts),
        room_c=None, begins=np.arange(times.size) == 0,
    )  # fmt: skip
    found = planned(fit, plan, room_c, from_w=from_w)
    low, value, high = (
        _crossed(times, each, limit_c) for each in (found.high_c, found.temperature_c, found.low_c)
    )
    return None if math.isinf(low) else Band(value=value, low=low, high=high)


def _crossed(times: Floats, temperature_c: Floats, limit_c: float) -> float:
    """When a course first is at a limit; infinite where it never is."""
    above = np.flatnonzero(temperature_c >= limit_c)
    if not above.size:
        return math.inf
    k = int(above[0])
    if k == 0:
        return 0.0
    before, after = temperature_c[k - 1], temperature_c[k]
    return float(times[k - 1] + (limit_c - before) / (after - before) * (times[k] - times[k - 1]))
