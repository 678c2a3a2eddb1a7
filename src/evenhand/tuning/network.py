"""How heat comes and goes: stages that each warm up towards what is drawn, one slower than the other.

    T(t) = T_room + Σ x_i(t),     τ_i·dx_i/dt = R_i·P − x_i

A stage has a thermal resistance R in °C per watt and a time constant τ. Together they are a Foster network:
the same curve as chip, cooler and case in a row give, though a stage is not one of these parts. Watts are
constant between two rows, so that each step is exact: x ← x·e^(−Δ/τ) + R·P·(1 − e^(−Δ/τ)).
Source: Székely and Van Bien 1988, "Fine structure of heat flow path in semiconductor devices", Solid-State
Electronics 31(9).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.tuning.heat_log import HeatLog

Response: TypeAlias = tuple[Floats, Floats]
"""What a stage of 1 °C per watt does that begins each stretch cold, and what is left of 1 °C; both (n,)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """One stage: °C per watt once it is warm, and the seconds in which all but 1/e of that is reached."""

    c_per_w: float
    seconds: float


def course(log: HeatLog, stages: Sequence[Stage], starts_c: Sequence[float]) -> Floats:
    """Degrees above the room in each row, shape (n,), from what each stage had stored at the first one.

    >>> from evenhand.tuning.heat_log import heat_log
    >>> log = heat_log(np.arange(0.0, 100.0), np.full(100, 20.0), np.full(100, 50.0))
    >>> warm = course(log, [Stage(c_per_w=0.5, seconds=20.0)], [0.0])
    >>> warm[[0, 20, 99]].round(2).tolist()
    [0.0, 15.8, 24.82]
    """
    total: Floats = np.zeros(log.time_s.size)
    for stage, start in zip(stages, starts_c, strict=True):
        warmed, left = response(log, stage.seconds)
        total += stage.c_per_w * warmed + start * left
    return total


def response(log: HeatLog, seconds: float) -> Response:
    """What a stage with this time constant does, row by row."""
    stays = np.zeros(log.time_s.size)
    stays[1:] = np.exp(-np.diff(log.time_s) / seconds)
    gains = log.watts * (1 - stays)
    stays[log.begins], gains[log.begins] = 0.0, 0.0
    left = np.exp(-(log.time_s - log.time_s[log.begins][log.stretch]) / seconds)
    return _summed(stays, gains), left


def _summed(stays: Floats, gains: Floats) -> Floats:
    """x[k] = stays[k]·x[k−1] + gains[k], over ever longer steps at once (Hillis and Steele 1986)."""
    stays, sums, step = stays.copy(), gains.copy(), 1
    while step < sums.size and stays.any():
        sums[step:] += stays[step:] * sums[:-step]
        stays[step:] *= stays[:-step]
        stays[stays < 1e-20] = 0.0  # what is so little left changes no sum
        step *= 2
    return sums
