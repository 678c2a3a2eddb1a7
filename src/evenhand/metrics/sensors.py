"""What the sensors of a run say, in few numbers, each under its definition (see `metrics.sensor_keys`)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from evenhand.metrics.sensor_keys import (
    PLATEAU_HOLDS_S,
    ROLE_UNITS,
    STEP_HOLDS_S,
    STEP_SHARE,
    limit_statistic,
    near_maximum,
    sensor_key,
)
from evenhand.records.layouts import Role
from evenhand.stats.steps import level_steps
from evenhand.traces.trace import Channel, SensorLog

Readings = npt.NDArray[np.float64]

# A gap in the log is not counted as time beyond this many usual intervals.
_LONGEST_INTERVALS = 3.0


def summarise(
    log: SensorLog,
    *,
    from_s: float = 0.0,
    to_s: float | None = None,
    limits: Mapping[tuple[Role, str], float] | None = None,
) -> Mapping[str, float]:
    """Median, 95th percentile, time at the limit and clock steps of each channel, by definition key.

    Readings from `from_s` to `to_s` (seconds of the log, both ends included) that are finite enter; a
    channel without any has no keys. `limits` gives, by role and what the channel sits on, a limit in
    the channel's unit; the time at or above it is then told too. A second channel with the same role
    and place is named "… (2)".

    >>> clock = Channel(role=Role.CLOCK, about="processor", unit="MHz", values=np.full(20, 4700.0))
    >>> told = summarise(SensorLog(time_s=np.arange(20.0), channels=(clock,)))
    >>> told["sensor:processor:clock:median"], told["sensor:processor:clock:steps"]
    (4700.0, 0.0)
    """
    inside = (log.time_s >= from_s) & (log.time_s <= (np.inf if to_s is None else to_s))
    told: dict[str, float] = {}
    seen: Counter[tuple[Role, str]] = Counter()
    for channel in log.channels:
        place = (channel.role, channel.about)
        seen[place] += 1
        about = channel.about if seen[place] == 1 else f"{channel.about} ({seen[place]})".strip()
        used = inside & np.isfinite(channel.values)
        if channel.role not in ROLE_UNITS or not used.any():
            continue
        statistics = _statistics(channel, log.time_s[used], channel.values[used], (limits or {}).get(place))
        told |= {sensor_key(channel.role, channel.unit, about, s): v for s, v in statistics.items()}
    return told


def _statistics(
    channel: Channel, time_s: Readings, readings: Readings, limit: float | None
) -> dict[str, float]:
    statistics = {
        "median": float(np.median(readings)),
        "p95": float(np.quantile(readings, 0.95)),
    }
    weights_s = _weights_s(time_s)
    at_maximum = _time_at_maximum(channel.role, readings, weights_s)
    if at_maximum is not None:
        statistics["at_max_pct"] = at_maximum
    if limit is not None:
        statistics[limit_statistic(limit)] = _share_pct(readings >= limit, weights_s)
    if channel.role is Role.CLOCK:
        statistics |= _clock_steps(time_s, readings)
    return statistics


def _weights_s(time_s: Readings) -> Readings:
    """The time each reading stands for: until the next one; the last, as long as the one before it."""
    if time_s.size == 1:
        return np.ones(1)
    intervals = np.maximum(np.diff(time_s), 0.0)
    usual = float(np.median(intervals)) or 1.0
    weights = np.minimum(intervals, _LONGEST_INTERVALS * usual)
    weights = np.append(weights, weights[-1])
    return weights if weights.any() else np.ones(time_s.size)


def _share_pct(marked: npt.NDArray[np.bool_], weights_s: Readings) -> float:
    return 100 * float(weights_s[marked].sum() / weights_s.sum())


def _time_at_maximum(role: Role, readings: Readings, weights_s: Readings) -> float | None:
    """The share of time near the largest reading, or None where it is a peak and not a plateau."""
    top = float(readings.max())
    near = readings >= top - near_maximum(role, top)
    edges = np.flatnonzero(np.diff(np.r_[False, near, False].astype(np.int8)))
    elapsed = np.append(0.0, np.cumsum(weights_s))
    longest_s = float(np.max(elapsed[edges[1::2]] - elapsed[edges[::2]]))
    return _share_pct(near, weights_s) if longest_s >= PLATEAU_HOLDS_S else None


def _clock_steps(time_s: Readings, readings: Readings) -> dict[str, float]:
    usual_s = float(np.median(np.diff(time_s))) if time_s.size > 1 else 0.0
    if usual_s <= 0 or readings.size * usual_s < 2 * STEP_HOLDS_S:
        return {}
    hold = max(5, round(STEP_HOLDS_S / usual_s))
    shares = [s.share for s in level_steps(readings, hold=hold, min_share=STEP_SHARE)]
    told = {"steps": float(len(shares))}
    if shares:
        told["largest_step_pct"] = 100 * max(shares, key=abs)
    return told
