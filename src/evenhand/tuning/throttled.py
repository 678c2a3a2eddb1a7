"""When a part fell below its clock in a log, and how warm it was then; the fall is what triage finds.

A clock that falls since the load ended is no such fall. Where the log has watts, only rows at its highest
power that was held count. Where it has neither watts nor load, the temperature has to tell: a part that is
slowed stays as warm as it was, or nearly, and one whose load ended cools down. What fell with the load is
left out then, and so is a part that was slowed by much for another reason than heat.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from evenhand.records.layouts import Role
from evenhand.stats.spread import Flags, Floats
from evenhand.traces.trace import Channel, SensorLog
from evenhand.triage.kinds.throttling import Fall, worst_fall
from evenhand.triage.limits.sensors import ThrottleLimits
from evenhand.triage.sensing import beside
from evenhand.tuning.heat_load import load_of
from evenhand.tuning.heat_log import HeatLog

BEFORE_S = 5.0
"""What a part was like when it fell is the median over so many seconds before."""

COOLED_SHARE, COOLED_C = 0.1, 2.0
"""A part that is cooler after a fall by more than this share of how far it had warmed up, and by more than
this, cooled down."""

WATCHED_S = 60.0
"""So long after a fall it has to be seen: one that takes 400 s has lost 14 % by then once its load ended."""

WARM_RANGE_C = 10.0  # a log whose temperatures differ by less was warm throughout, or never


@dataclass(frozen=True, slots=True, kw_only=True)
class Throttled:
    """A fall of a clock, with the part's own temperature and power just before it; None where not read."""

    fall: Fall
    temperature_c: float | None
    watts: float | None


def throttled(sensors: SensorLog | None, limits: ThrottleLimits | None = None) -> Throttled | None:
    """The largest fall of a clock under load in a log; None where none falls, or nothing tells the load."""
    limits = limits or ThrottleLimits()
    if sensors is None:
        return None
    fall = _fall(sensors, limits)
    if fall is None:
        return None
    clock = next(c for c in sensors.channels if c.role is Role.CLOCK and c.about == fall.about)
    before = (sensors.time_s < fall.begins_s) & (sensors.time_s >= fall.begins_s - BEFORE_S)
    return Throttled(
        fall=fall,
        temperature_c=_median(beside(clock, Role.TEMPERATURE, sensors.channels), before),
        watts=_median(beside(clock, Role.POWER, sensors.channels), before),
    )


def _fall(sensors: SensorLog, limits: ThrottleLimits) -> Fall | None:
    """The largest fall among rows under load."""
    power = _known(sensors.channels, Role.POWER)
    if _known(sensors.channels, Role.LOAD) is not None:
        return worst_fall(sensors, limits)
    if power is not None:
        return worst_fall(_only(sensors, _at_load(sensors.time_s, power, limits.load_share)), limits)
    heat = _known(sensors.channels, Role.TEMPERATURE)
    return None if heat is None else _while_warm(sensors, heat, limits)


def _known(channels: Sequence[Channel], role: Role) -> Floats | None:
    """The first channel of a role that was read at all."""
    return next((c.values for c in channels if c.role is role and np.isfinite(c.values).any()), None)


def _at_load(time_s: Floats, watts: Floats, share: float) -> Flags:
    """Rows that draw nearly as much as the highest power that was held for a minute."""
    known = np.isfinite(watts)
    begins = np.zeros(int(known.sum()), bool)
    begins[0] = True
    log = HeatLog(
        time_s=time_s[known], watts=watts[known], temperature_c=np.full(begins.size, np.nan), room_c=None,
        begins=begins,
    )  # fmt: skip
    found: Flags = known & (watts >= share * load_of(log).watts)
    return found


def _while_warm(sensors: SensorLog, heat: Floats, limits: ThrottleLimits) -> Fall | None:
    """The largest fall at which the part did not cool down, from when it was halfway warm."""
    limits = replace(limits, tail_s=WATCHED_S, clear_tail_s=WATCHED_S)
    low, high = float(np.nanmin(heat)), float(np.nanmax(heat))
    first = int(np.argmax(heat >= (low + high) / 2)) if high - low >= WARM_RANGE_C else 0
    some = _only(sensors, np.arange(heat.size) >= first)
    while (fall := worst_fall(some, limits)) is not None:
        if not (_too_late(fall, some) or _cooled(fall, sensors.time_s, heat, low)):
            return fall
        some = _only(some, some.time_s < fall.begins_s)
    return None


def _too_late(fall: Fall, sensors: SensorLog) -> bool:
    """Whether the clock fell later than it is told to have: too near to the end to be seen for long."""
    clock = next(c for c in sensors.channels if c.role is Role.CLOCK and c.about == fall.about)
    first = _median(clock, (sensors.time_s >= fall.begins_s) & (sensors.time_s < fall.begins_s + BEFORE_S))
    return first is not None and first - fall.to_mhz > (fall.from_mhz - fall.to_mhz) / 2


def _cooled(fall: Fall, time_s: Floats, heat: Floats, low: float) -> bool:
    """Whether the part was cooler once its clock had fallen."""
    before = heat[(time_s < fall.begins_s) & (time_s >= fall.begins_s - BEFORE_S)]
    after = heat[(time_s > fall.ends_s - BEFORE_S) & (time_s <= fall.ends_s)]
    if not (np.isfinite(before).any() and np.isfinite(after).any()):
        return True  # nothing tells that the load went on
    was, became = float(np.nanmedian(before)), float(np.nanmedian(after))
    return was - became > max(COOLED_C, COOLED_SHARE * (was - low))


def _only(sensors: SensorLog, rows: Flags) -> SensorLog:
    """Some rows of a log."""
    channels = tuple(replace(channel, values=channel.values[rows]) for channel in sensors.channels)
    return replace(sensors, time_s=sensors.time_s[rows], channels=channels)


def _median(channel: Channel | None, rows: np.ndarray[tuple[int, ...], np.dtype[np.bool_]]) -> float | None:
    known = np.empty(0) if channel is None else channel.values[rows & np.isfinite(channel.values)]
    return float(np.median(known)) if known.size else None
