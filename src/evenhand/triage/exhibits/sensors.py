"""What the sensors of a run read, beside the same sensors of its siblings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from evenhand.records.faults import Fault
from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog
from evenhand.triage.exhibits.company import siblings_of, traces
from evenhand.triage.exhibits.forms import Exhibit, Readings, Series
from evenhand.triage.features import Features
from evenhand.triage.kinds.background import Others, others_of
from evenhand.triage.kinds.fan import worst_stop
from evenhand.triage.kinds.memory_full import worst_ceiling
from evenhand.triage.kinds.power_limit import lowest
from evenhand.triage.kinds.throttling import worst_fall
from evenhand.triage.sensing import beside, in_role, living, same_place
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount

_WORDS = {
    Role.CLOCK: "clock",
    Role.POWER: "power",
    Role.FAN: "fan",
    Role.MEMORY: "memory",
    Role.TEMPERATURE: "temperature",
}
_THOUSANDS = {"MHz": "GHz"}


def throttling(run: Features, _fault: Fault, view: CellView) -> Exhibit:
    """The clock that fell, against the level it fell from."""
    fall = worst_fall(living(run.run.sensors, view.limits.readings), view.limits.throttle)
    if fall is None:
        return Exhibit(trace=traces(run, siblings_of(run, view)))
    before = amount(fall.from_mhz / 1000, 2, "GHz")
    return _channel(run, view, (Role.CLOCK, fall.about), (fall.from_mhz, f"{before} before"))


def power_limit(run: Features, _fault: Fault, view: CellView) -> Exhibit:
    """The power of the part that drew less, against what it usually drew in this run."""
    lower = lowest(run, view)
    if lower is None:
        return Exhibit(trace=traces(run, siblings_of(run, view)))
    return _channel(
        run, view, (Role.POWER, lower.about), (lower.own_w, f"{amount(lower.own_w, 0, 'W')} in this run")
    )


def fan_failure(run: Features, _fault: Fault, view: CellView) -> Exhibit:
    """The fan that fell, against the speed it had before; above it how warm its part was."""
    stop = worst_stop(run.run.sensors, view)
    if stop is None:
        return Exhibit(trace=traces(run, siblings_of(run, view)))
    shown = _channel(
        run, view, (Role.FAN, stop.about), (stop.before, f"{amount(stop.before, 0, stop.unit)} before")
    )
    sensors = living(run.run.sensors, view.limits.readings)
    fan = next((c for c in in_role(sensors, Role.FAN) if c.about == stop.about), None)
    part = None if fan is None or sensors is None else beside(fan, Role.TEMPERATURE, sensors.channels)
    if part is None or sensors is None:
        return shown
    siblings = tuple(_of_siblings(part, siblings_of(run, view), view, 1.0))
    warmth = Readings(
        what=_named(part, Role.TEMPERATURE),
        unit=part.unit,
        own=_series(sensors, part, 1.0),
        siblings=siblings,
    )
    return replace(shown, readings=warmth)


def memory_full(run: Features, _fault: Fault, view: CellView) -> Exhibit:
    """The memory that filled, against the ceiling it stayed at."""
    ceiling = worst_ceiling(run, view)
    if ceiling is None:
        return Exhibit(trace=traces(run, siblings_of(run, view)))
    words = f"stays at {amount(ceiling.top, 0, ceiling.unit)}"
    return _channel(run, view, (Role.MEMORY, ceiling.about), (ceiling.top, words))


def background_load(run: Features, _fault: Fault, view: CellView) -> Exhibit:
    """What other programs took during the run, against the mean of it."""
    siblings = siblings_of(run, view)
    own = others_of(run.run.sensors, view)
    if own is None:
        return Exhibit(trace=traces(run, siblings))
    theirs = [taken for s in siblings if (taken := others_of(s.run.sensors, view)) is not None]
    return Exhibit(
        trace=traces(run, siblings),
        below=Readings(
            what="What other programs took of the machine",
            unit="%",
            own=_taken(own),
            siblings=tuple(map(_taken, theirs)),
            limit=own.mean_pct,
            limit_words=f"mean {amount(own.mean_pct, 1, '%')}",
        ),
    )


def _taken(others: Others) -> Series:
    return Series(times_s=others.time_s, values=others.share_pct)


def _channel(run: Features, view: CellView, which: tuple[Role, str], limit: tuple[float, str]) -> Exhibit:
    """One channel of the run and the same one of each sibling that has it; above it the trace."""
    role, about = which
    siblings = siblings_of(run, view)
    sensors = living(run.run.sensors, view.limits.readings)
    own = next((c for c in in_role(sensors, role) if c.about == about), None)
    shown = traces(run, siblings)
    if own is None or sensors is None:
        return Exhibit(trace=shown)
    scale = 1000.0 if own.unit in _THOUSANDS else 1.0
    return Exhibit(
        trace=shown,
        below=Readings(
            what=_named(own, role),
            unit=_THOUSANDS.get(own.unit, own.unit),
            own=_series(sensors, own, scale),
            siblings=tuple(_of_siblings(own, siblings, view, scale)),
            limit=limit[0] / scale,
            limit_words=limit[1],
        ),
    )


def _named(channel: Channel, role: Role) -> str:
    """The channel in words: the part, and what is read of it."""
    word, about = _WORDS[role], channel.about
    said = about if word in about.casefold() else f"{about} {word}".strip()
    return f"{said[:1].upper()}{said[1:]}"


def _of_siblings(own: Channel, siblings: Sequence[Features], view: CellView, scale: float) -> list[Series]:
    logs = [living(s.run.sensors, view.limits.readings) for s in siblings]
    found = [(log, same_place(own, log)) for log in logs]
    return [_series(log, there, scale) for log, there in found if log is not None and there is not None]


def _series(sensors: SensorLog, channel: Channel, scale: float) -> Series:
    return Series(times_s=sensors.time_s, values=np.asarray(channel.values / scale))
