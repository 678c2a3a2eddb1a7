"""A fan that stops or slows while its part is at work and grows warmer."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog
from evenhand.triage.curves import Floats
from evenhand.triage.limits.sensors import FanLimits
from evenhand.triage.sensing import beside, in_role, living, smoothed, usual_step_s
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, moment

KIND = "fan-failure"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stop:
    """A fan that fell from one speed to another, how much warmer its part was afterwards, and when.

    The rise is from the median before to the upper end after.
    """

    about: str
    unit: str
    before: float
    after: float
    warmer_c: float
    begins_s: float
    ends_s: float


def fan_failure(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Judge each run by its own sensors: found also where siblings have no sensor log."""
    for run in view.runs:
        stop = worst_stop(run.run.sensors, view)
        if stop is not None:
            logs = [living(s.run.sensors, view.limits.readings) for s in view.siblings(run.id)]
            theirs = [_warmed(stop, log) for log in logs if log is not None]
            yield run.id, _fault(stop, [by for by in theirs if by is not None])


def _warmed(stop: Stop, log: SensorLog) -> float | None:
    """How much warmer the same part grew in another run from the same moment on; None if not on record."""
    fan = next((c for c in in_role(log, Role.FAN) if c.about == stop.about), None)
    return None if fan is None else _warmer(fan, log, stop.begins_s)


def worst_stop(log: SensorLog | None, view: CellView) -> Stop | None:
    """The deepest fall among the fans of a sensor log; None where none falls for good."""
    sensors = living(log, view.limits.readings)
    stops = [
        s for fan in in_role(sensors, Role.FAN) if sensors and (s := _stop(fan, sensors, view.limits.fan))
    ]
    return min(stops, key=lambda s: s.after / s.before, default=None)


def _stop(fan: Channel, sensors: SensorLog, limits: FanLimits) -> Stop | None:
    """The first time a fan falls for good while the part warms."""
    step_s = usual_step_s(sensors)
    hold = max(3, round(limits.lasts_s / step_s)) if step_s > 0 else 0
    known = np.isfinite(fan.values)
    values, time_s = fan.values[known], sensors.time_s[known]
    if not hold or values.size < 3 * hold:
        return None
    before = float(np.median(values[:hold]))
    means = smoothed(values, hold)
    low = np.flatnonzero(means <= limits.falls_to * np.maximum.accumulate(np.maximum(before, means)))
    if before <= 0 or not low.size:
        return None
    at = _fell_at(values, int(low[0]), hold)
    warmer = _warmer(fan, sensors, float(time_s[at]))
    after = float(np.median(values[at:]))
    before = float(np.median(values[: max(at, hold)]))
    if warmer is None or warmer < limits.warmer_c or after > limits.falls_to * before:
        return None
    return Stop(
        about=fan.about,
        unit=fan.unit,
        before=before,
        after=after,
        warmer_c=warmer,
        begins_s=float(time_s[at]),
        ends_s=float(time_s[-1]),
    )


def _fell_at(values: Floats, begins: int, hold: int) -> int:
    """The reading at which a fan fell: a mean over `hold` readings from `begins` on is low before that."""
    window = values[begins : begins + hold]
    halfway = (float(values[:begins].max(initial=window[0])) + float(window.min())) / 2
    return begins + int(np.argmax(window <= halfway))


def _warmer(fan: Channel, sensors: SensorLog, at_s: float) -> float | None:
    """How much warmer the part under the fan was after a moment than before; None without a temperature."""
    own = beside(fan, Role.TEMPERATURE, sensors.channels)
    channels = [own] if own is not None else in_role(sensors, Role.TEMPERATURE)
    rises = []
    for channel in channels:
        known = np.isfinite(channel.values)
        early = channel.values[known & (sensors.time_s < at_s)]
        late = channel.values[known & (sensors.time_s >= at_s)]
        if early.size and late.size:
            rises.append(float(np.quantile(late, 0.9) - np.median(early)))
    return max(rises, default=None)


def _fault(stop: Stop, theirs: Sequence[float]) -> Fault:
    usual = float(np.median(theirs)) if theirs else None
    fan = f"{stop.about} fan" if stop.about and "fan" not in stop.about.casefold() else stop.about or "fan"
    return Fault(
        kind=KIND,
        title="Fan stops under load",
        severity=Severity.IN_DOUBT,
        evidence=(
            f"From {moment(stop.begins_s)} the {fan} fell from {amount(stop.before, 0, stop.unit)} to "
            f"{amount(stop.after, 0, stop.unit)}, and its part grew {amount(stop.warmer_c, 0, '°C')} warmer"
            + ("." if usual is None else f", where its siblings grow by {amount(usual, 0, '°C')}.")
        ),
        todo=(
            "Stop testing this machine until the fan turns: shut it down, unplug it, hold the power button, "
            "then look for a loose cable or plug. Set the run aside as a rig fault and record it again."
        ),
        numbers={
            "before": stop.before,
            "after": stop.after,
            "warmer_c": stop.warmer_c,
            "from_s": stop.begins_s,
        }
        | ({} if usual is None else {"siblings_warmer_c": usual}),
        places=(Place(from_s=stop.begins_s, to_s=stop.ends_s),),
    )
