"""Which parts of a run its sensor log does not cover: a stretch without a reading, or one channel without."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from evenhand.traces.trace import Channel, SensorLog
from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.limits.sensors import ReadingsLimits
from evenhand.triage.sensing import usual_step_s, widest_hole
from evenhand.triage.wording import moment, share


def uncovered(run: Features, sensors: SensorLog, limits: ReadingsLimits) -> Iterator[str]:
    """What sensors do not tell of a run, and why, one sentence each; sensors have a reading at least."""
    length_s = lasts_s(run, sensors)
    for from_s, to_s in _stretches(sensors, length_s, limits):
        yield f"What sensors tell from {moment(from_s)} to {moment(to_s)}: there are no readings."
    for channel in sensors.channels:
        yield from _of_channel(channel, sensors, length_s, limits)


def lasts_s(run: Features, sensors: SensorLog) -> float:
    """How long the run lasts; where it has no frames, as long as its readings."""
    return run.duration_s if math.isfinite(run.duration_s) else float(sensors.time_s[-1])


def _stretches(sensors: SensorLog, length_s: float, limits: ReadingsLimits) -> Iterator[tuple[float, float]]:
    """Before the first reading, the widest time between two, and after the last."""
    late_s = max(limits.edge_share * length_s, limits.edge_steps * usual_step_s(sensors))
    first_s, last_s = float(sensors.time_s[0]), float(sensors.time_s[-1])
    if first_s > late_s:
        yield 0.0, first_s
    from_s, to_s = widest_hole(sensors)
    if to_s - from_s > limits.hole_share * max(length_s, last_s):
        yield from_s, to_s
    if length_s - last_s > late_s:
        yield last_s, length_s


def _of_channel(
    channel: Channel, sensors: SensorLog, length_s: float, limits: ReadingsLimits
) -> Iterator[str]:
    """A channel that is empty for a stretch in which others are not, or for the most part."""
    known = np.isfinite(channel.values)
    name = f"The {channel.about} {channel.role.value}".replace("  ", " ")
    if np.mean(known) < limits.least_known:
        yield f"{name}: {share(1 - float(np.mean(known)), 0)} of its readings are empty."
        return
    from_s, to_s = _widest_gap(sensors.time_s, known)
    if to_s - from_s > limits.hole_share * length_s:
        yield f"{name} from {moment(from_s)} to {moment(to_s)}: its readings are empty."


def _widest_gap(time_s: Floats, known: Floats) -> tuple[float, float]:
    """From the last reading before the longest row of empty ones to the first after it."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], ~known.astype(bool), [False])).astype(np.int8)))
    spans = [
        (float(time_s[max(start - 1, 0)]), float(time_s[min(end, time_s.size - 1)]))
        for start, end in zip(edges[::2], edges[1::2], strict=True)
    ]
    return max(spans, key=lambda span: span[1] - span[0], default=(0.0, 0.0))
