"""The part of a day-long sensor log that belongs to one run."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from evenhand.traces.trace import SensorLog


def between(log: SensorLog, from_s: float, to_s: float) -> SensorLog:
    """The readings from `from_s` to `to_s` of the log's own time, their time counted from `from_s`.

    >>> import numpy as np
    >>> part = between(SensorLog(time_s=np.arange(10.0), channels=()), 3.0, 5.0)
    >>> part.time_s.tolist()
    [0.0, 1.0, 2.0]
    """
    inside = (log.time_s >= from_s) & (log.time_s <= to_s)
    channels = tuple(replace(channel, values=channel.values[inside]) for channel in log.channels)
    return replace(log, time_s=log.time_s[inside] - from_s, channels=channels)


def of_run(log: SensorLog, started_at: datetime | None, duration_s: float | None) -> SensorLog | None:
    """The readings taken while a run lasted.

    A log without a time of day is taken to cover the run alone. One with it needs to know when the run
    started and how long it lasted: None where either is unknown or no reading falls inside.
    """
    if log.started_at is None:
        return log
    if started_at is None or duration_s is None:
        return None
    from_s = (started_at - log.started_at).total_seconds()
    part = between(log, from_s, from_s + duration_s)
    return part if part.time_s.size else None
