"""Memory that ran full: its use climbs to a ceiling and stays, and from then on the run hitches or slows."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from evenhand.metrics.hitches import hitch_frames, stretches
from evenhand.records.faults import Fault, Place, Severity
from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog
from evenhand.triage.features import Features
from evenhand.triage.limits.sensors import MemoryLimits
from evenhand.triage.sensing import in_role, live_sensors
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, change, count, moment, share

KIND = "memory-full"


@dataclass(frozen=True, slots=True, kw_only=True)
class Ceiling:
    """Where use reached its ceiling, and what the frames did before and after."""

    about: str
    unit: str
    top: float
    top_share: float
    begins_s: float
    hitches_before: int
    hitches_after: int
    slower: float


def memory_full(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Judge each run by its own memory channels and frames; a ceiling without harm is no fault."""
    for run in view.runs:
        ceiling = worst_ceiling(run, view)
        if ceiling is not None:
            yield run.id, _fault(ceiling, run)


def worst_ceiling(run: Features, view: CellView) -> Ceiling | None:
    """The ceiling that did most harm among a run's memory channels; None where none did any."""
    sensors = live_sensors(run, view)
    found = [
        c
        for channel in in_role(sensors, Role.MEMORY)
        if sensors is not None and (c := _ceiling(channel, sensors, run, view.limits.memory)) is not None
    ]
    harmed = [c for c in found if _harms(c, run, view.limits.memory)]
    return max(harmed, key=lambda c: c.hitches_after, default=None)


def _ceiling(channel: Channel, sensors: SensorLog, run: Features, limits: MemoryLimits) -> Ceiling | None:
    """Where a channel reaches its highest level and stays; None where it begins there or never stays."""
    known = np.isfinite(channel.values) & (channel.values > 0)
    values, time_s = channel.values[known], sensors.time_s[known]
    if values.size < 8 or run.frames < 2:
        return None
    top = float(values.max())
    at_top = values >= (1 - limits.at_top) * top
    begins = int(np.argmax(at_top))
    held = float(np.mean(at_top[begins:])) >= limits.stays
    shortly_before = time_s >= time_s[begins] - limits.corner_s
    climbed = float(values[shortly_before][0]) <= (1 - limits.rises_by) * top
    begins_s = float(time_s[begins])
    if begins_s < limits.corner_s or not held or not climbed:
        return None
    return Ceiling(
        about=channel.about,
        unit=channel.unit,
        top=top,
        top_share=float(np.mean(at_top)),
        begins_s=begins_s,
        hitches_before=_hitches(run, to_s=begins_s),
        hitches_after=_hitches(run, from_s=begins_s),
        slower=_slower(run, begins_s),
    )


def _hitches(run: Features, *, from_s: float = 0.0, to_s: float = math.inf) -> int:
    hitch = hitch_frames(run.frame_times_ms)
    return stretches(hitch & (run.begins_s >= from_s) & (run.begins_s < to_s))


def _slower(run: Features, at_s: float) -> float:
    """Log ratio of the median frame time after a moment to that before it."""
    before, after = run.log_ms[run.begins_s < at_s], run.log_ms[run.begins_s >= at_s]
    return float(np.median(after) - np.median(before)) if before.size and after.size else 0.0


def _harms(ceiling: Ceiling, run: Features, limits: MemoryLimits) -> bool:
    if ceiling.top_share < limits.top_share:
        return False
    before_s, after_s = ceiling.begins_s, run.duration_s - ceiling.begins_s
    if min(before_s, after_s) <= 0:
        return False
    expected = max(ceiling.hitches_before / before_s * after_s, 0.5)
    return ceiling.hitches_after >= max(limits.least_hitches, limits.more_hitches * expected)


def _fault(ceiling: Ceiling, run: Features) -> Fault:
    whose = ceiling.about if "memory" in ceiling.about.casefold() else f"{ceiling.about} memory".strip()
    slower = f"; the median frame changed by {change(math.exp(ceiling.slower))}" if ceiling.slower > 0 else ""
    before = count(ceiling.hitches_before, "hitch", "hitches")
    return Fault(
        kind=KIND,
        title="Memory runs full",
        severity=Severity.IN_DOUBT,
        evidence=(
            f"From {moment(ceiling.begins_s)} the {whose} stays at {amount(ceiling.top, 0, ceiling.unit)} "
            f"({share(ceiling.top_share, 0)} of the readings); {before} before that, "
            f"{ceiling.hitches_after:,} after{slower}."
        ),
        todo=(
            "This is how the machine behaves with these settings if nothing else was open: show it as that. "
            "If something else held memory, close it and record the run again."
        ),
        numbers={
            "top": ceiling.top,
            "top_share": ceiling.top_share,
            "from_s": ceiling.begins_s,
            "hitches_before": float(ceiling.hitches_before),
            "hitches_after": float(ceiling.hitches_after),
        },
        places=(Place(from_s=ceiling.begins_s, to_s=run.duration_s),),
        behaviour=True,
    )
