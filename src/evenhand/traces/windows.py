"""The part of a day-long sensor log that belongs to one run."""

from __future__ import annotations

from dataclasses import replace

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
