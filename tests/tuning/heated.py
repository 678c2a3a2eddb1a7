"""Logs of parts that are known, for tests: what the network is, and what a sensor says of it."""

from __future__ import annotations

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.tuning.heat_log import HeatLog, heat_log
from evenhand.tuning.network import Stage, course

ROOM = 22.0
COOLER = Stage(c_per_w=0.25, seconds=100.0)
CASE = Stage(c_per_w=0.12, seconds=700.0)
LOADS = ((0.1, 25.0), (0.55, 200.0), (0.8, 110.0), (1.0, 25.0))
"""Until which share of a log how many watts are drawn: rest, full, half, rest."""


def seconds(minutes: float, step_s: float = 2.0) -> Floats:
    return np.arange(0.0, 60 * minutes, step_s)


def watts(time_s: Floats, loads: tuple[tuple[float, float], ...] = LOADS) -> Floats:
    ends, levels = (np.array(each) for each in zip(*loads, strict=True))
    share = (time_s - time_s[0]) / (time_s[-1] - time_s[0])
    return levels[np.searchsorted(ends, share, side="left").clip(0, len(levels) - 1)]


def truth(time_s: Floats, drawn: Floats, stages: tuple[Stage, ...], room: float = ROOM) -> Floats:
    """From the steady state of the first watts on."""
    bare = heat_log(time_s, np.zeros(time_s.size), drawn)
    return room + course(bare, stages, [stage.c_per_w * drawn[0] for stage in stages])


def log_of(
    *stages: Stage, minutes: float = 60, noise: float = 0.7, room: float | None = ROOM, step_s: float = 2.0,
    seed: int = 1, loads: tuple[tuple[float, float], ...] = LOADS,
) -> HeatLog:  # fmt: skip
    """What a sensor that scatters and tells whole degrees says of a part in a room of 22 °C."""
    time = seconds(minutes, step_s)
    drawn = watts(time, loads)
    read = truth(time, drawn, stages) + noise * np.random.default_rng(seed).standard_normal(time.size)
    return heat_log(time, np.round(read), drawn, room)
