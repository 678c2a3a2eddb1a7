"""When a part fell below its clock in a log, and how warm it was then; the fall is what triage finds."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog
from evenhand.triage.kinds.throttling import Fall, worst_fall
from evenhand.triage.limits.sensors import ThrottleLimits
from evenhand.triage.sensing import beside

BEFORE_S = 5.0
"""What a part was like when it fell is the median over so many seconds before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Throttled:
    """A fall of a clock, with the part's own temperature and power just before it; None where not read."""

    fall: Fall
    temperature_c: float | None
    watts: float | None


def throttled(sensors: SensorLog | None, limits: ThrottleLimits | None = None) -> Throttled | None:
    """The largest fall of a clock under load in a log; None where none falls."""
    fall = worst_fall(sensors, limits or ThrottleLimits())
    if fall is None or sensors is None:
        return None
    clock = next(c for c in sensors.channels if c.role is Role.CLOCK and c.about == fall.about)
    before = (sensors.time_s < fall.begins_s) & (sensors.time_s >= fall.begins_s - BEFORE_S)
    return Throttled(
        fall=fall,
        temperature_c=_median(beside(clock, Role.TEMPERATURE, sensors.channels), before),
        watts=_median(beside(clock, Role.POWER, sensors.channels), before),
    )


def _median(channel: Channel | None, rows: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> float | None:
    known = np.empty(0) if channel is None else channel.values[rows & np.isfinite(channel.values)]
    return float(np.median(known)) if known.size else None
