"""Clocks that fall while the part is at load: seen by sensors, and true of the machine."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.records.layouts import Role
from evenhand.stats.steps import level_steps
from evenhand.traces.trace import Channel, SensorLog
from evenhand.triage.candidate import Candidate
from evenhand.triage.curves import Floats
from evenhand.triage.features import robust_spread
from evenhand.triage.limits.sensors import ThrottleLimits
from evenhand.triage.sensing import beside, live_sensors
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, change, count, moment

KIND = "throttling"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LoadedClock:
    """One clock at load: shape (n,) seconds and MHz; `about` the part; `load` in words."""

    about: str
    time_s: Floats
    clock_mhz: Floats
    load: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Fall:
    """A fall of a clock: its log ratio, the level before and after, and when it began and was last seen.

    `cause` says what power and temperature of the same part did then, empty where they tell nothing.
    """

    about: str
    load: str
    log_ratio: float
    from_mhz: float
    to_mhz: float
    begins_s: float
    ends_s: float
    cause: str = ""


def throttling(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Judge each run by its own sensors: found also where every sibling does the same."""
    limits = view.limits.throttle
    falls = {run.id: worst_fall(live_sensors(run, view), limits) for run in view.runs}
    for run in view.runs:
        fall = falls[run.id]
        if fall is not None:
            same = tuple(i for i, other in falls.items() if i != run.id and _alike(fall, other))
            yield run.id, _fault(run.run, fall, same)


def _alike(fall: Fall, other: Fall | None) -> bool:
    return other is not None and other.about == fall.about


def worst_fall(sensors: SensorLog | None, limits: ThrottleLimits) -> Fall | None:
    """The largest fall among the clocks of a sensor log, where one passes the limit, with what caused it."""
    falls = [f for f in (_fall(c, limits) for c in loaded_clocks(sensors, limits)) if f is not None]
    worst = min(falls, key=lambda f: f.log_ratio, default=None)
    return None if worst is None or sensors is None else replace(worst, cause=_cause(worst, sensors, limits))


def _cause(fall: Fall, sensors: SensorLog, limits: ThrottleLimits) -> str:
    """What the part's own power and temperature say: a limit of power, of heat, or nothing."""
    clock = next(c for c in sensors.channels if c.role is Role.CLOCK and c.about == fall.about)
    power = beside(clock, Role.POWER, sensors.channels)
    drawn = None if power is None else _around(power, fall, sensors)
    if drawn is not None and min(drawn) > 0 and math.log(drawn[1] / drawn[0]) < -limits.power_fall:
        return f"; its power fell with it, from {amount(drawn[0], 0, 'W')} to {amount(drawn[1], 0, 'W')}"
    heat = beside(clock, Role.TEMPERATURE, sensors.channels)
    warm = None if heat is None else _around(heat, fall, sensors)
    return "" if warm is None else f"; it was at {amount(max(warm), 0, '°C')} by then"


def _around(channel: Channel, fall: Fall, sensors: SensorLog) -> tuple[float, float] | None:
    """Medians of a channel before a fall and after it."""
    known = np.isfinite(channel.values)
    early = channel.values[known & (sensors.time_s < fall.begins_s)]
    late = channel.values[known & (sensors.time_s >= fall.begins_s)]
    return (float(np.median(early)), float(np.median(late))) if early.size and late.size else None


def loaded_clocks(sensors: SensorLog | None, limits: ThrottleLimits) -> list[LoadedClock]:
    """Every clock of the log during the samples in which its part was at load."""
    if sensors is None:
        return []
    clocks = [c for c in sensors.channels if c.role is Role.CLOCK]
    return [loaded for c in clocks if (loaded := _at_load(c, sensors, limits)) is not None]


def _at_load(clock: Channel, sensors: SensorLog, limits: ThrottleLimits) -> LoadedClock | None:
    load = beside(clock, Role.LOAD, sensors.channels) or beside(clock, Role.POWER, sensors.channels)
    since_s = sensors.time_s - sensors.time_s[:1]
    skip_s = min(limits.skip_s, limits.boost_share * float(since_s[-1])) if since_s.size else 0.0
    use = np.isfinite(clock.values) & (clock.values > 0) & (since_s > skip_s)
    if load is not None and use.any():
        known = load.values[use & np.isfinite(load.values)]
        upper = float(np.quantile(known, 0.75)) if known.size else 0.0
        if load.role is Role.LOAD and upper < limits.least_load_pct:
            return None
        use &= load.values >= limits.load_share * upper
    if np.count_nonzero(use) < limits.least_loaded:
        return None
    return LoadedClock(
        about=clock.about,
        time_s=sensors.time_s[use],
        clock_mhz=clock.values[use],
        load="" if load is None else _at(load, float(np.median(load.values[use]))),
    )


def _at(load: Channel, median: float) -> str:
    return f"{amount(median, 0, '%')} load" if load.role is Role.LOAD else amount(median, 0, "W")


def _fall(clock: LoadedClock, limits: ThrottleLimits) -> Fall | None:
    """The fall of one clock: a step down that lasts to the end, or last quarter against first."""
    at = _lasting_step(clock, limits)
    if at is not None:
        return _between(clock, slice(0, at), slice(at, None))
    if clock.clock_mhz.size < limits.fewest:
        return None
    quarter = clock.clock_mhz.size // 4
    first, last = slice(0, quarter), slice(clock.clock_mhz.size - quarter, None)
    drift = _between(clock, first, last)
    mean = math.log(float(np.mean(clock.clock_mhz[last]) / np.mean(clock.clock_mhz[first])))
    spreads = (robust_spread(np.log(clock.clock_mhz[part])) for part in (first, last))
    error = 1.2533 * math.hypot(*spreads) / math.sqrt(quarter)
    short = float(clock.time_s[-1] - clock.time_s[0]) < limits.short_s
    least = limits.short_fall if short else limits.fall
    # A clock that hops between two levels has a median that hops too; its mean does not.
    fallen = -drift.log_ratio > max(least, limits.errors * error) and -mean > limits.mean_share * least
    return drift if fallen else None


def _lasting_step(clock: LoadedClock, limits: ThrottleLimits) -> int | None:
    """Where the clock steps down for good after the first quarter: a boost at the start is no fall.

    A small step must last for `tail_s`, one that is clear of a clock's wandering only for `clear_tail_s`.
    """
    return _step(clock, limits.tail_s, limits.fall, limits) or _step(
        clock, limits.clear_tail_s, limits.short_fall, limits
    )


def _step(clock: LoadedClock, lasts_s: float, least: float, limits: ThrottleLimits) -> int | None:
    values = clock.clock_mhz
    period = float(np.median(np.diff(clock.time_s)))
    if period <= 0:
        return None
    hold = max(limits.fewest // 4, math.ceil(lasts_s / period))
    begun = clock.time_s >= clock.time_s[-1] * limits.boost_share
    late = [s.at for s in level_steps(values, hold=hold, min_share=least) if begun[s.at]]
    stays = {at: math.log(np.median(values[at:]) / np.median(values[:at])) for at in late}
    lowest = min(stays, key=lambda at: stays[at], default=None)
    return lowest if lowest is not None and stays[lowest] < -least else None


def _between(clock: LoadedClock, before: slice, after: slice) -> Fall:
    high, low = float(np.median(clock.clock_mhz[before])), float(np.median(clock.clock_mhz[after]))
    return Fall(
        about=clock.about,
        load=clock.load,
        log_ratio=math.log(low / high),
        from_mhz=high,
        to_mhz=low,
        begins_s=float(clock.time_s[after][0]),
        ends_s=float(clock.time_s[-1]),
    )


def _fault(run: Candidate, fall: Fall, same: tuple[str, ...]) -> Fault:
    part = f"{fall.about} clock" if fall.about else "clock"
    load = f" at {fall.load}" if fall.load else "; whether it was at load is not on record"
    others = f" {count(len(same), 'sibling')} {'does' if len(same) == 1 else 'do'} the same." if same else ""
    where = "" if run.ambient_c is None else f", in a room of {amount(run.ambient_c, 1, '°C')}"
    return Fault(
        kind=KIND,
        title="Clock falls under load",
        severity=Severity.IN_DOUBT if fall.load else Severity.NOTE,
        evidence=(
            f"From {moment(fall.begins_s)} the {part} fell from {amount(fall.from_mhz / 1000, 2, 'GHz')} to "
            f"{amount(fall.to_mhz / 1000, 2, 'GHz')} ({change(fall.to_mhz / fall.from_mhz)})"
            f"{load}{where}{fall.cause}.{others}"
        ),
        todo=(
            "This is how the machine behaves under these conditions: show it as that, "
            "or set it aside as other conditions and run again with cooling and room as for the others."
        ),
        numbers={
            "from_mhz": fall.from_mhz,
            "to_mhz": fall.to_mhz,
            "from_s": fall.begins_s,
            "to_over_from": math.exp(fall.log_ratio),
        },
        places=(Place(from_s=fall.begins_s, to_s=fall.ends_s),),
        siblings=same,
        behaviour=True,
    )
