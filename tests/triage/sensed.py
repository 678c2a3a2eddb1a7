"""Runs with sensor logs: steady readings of one machine, and small ways to spoil them."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from tests.triage.cells import Floats, cell

from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog
from evenhand.triage.candidate import Candidate

SECONDS = 120
UNITS = {Role.POWER: "W", Role.CLOCK: "MHz", Role.LOAD: "%", Role.TEMPERATURE: "°C", Role.FAN: "rpm"}
STEADY = {
    Role.LOAD: 97.0,
    Role.CLOCK: 2600.0,
    Role.POWER: 220.0,
    Role.TEMPERATURE: 66.0,
    Role.FAN: 1500.0,
}


def readings(level: float | Floats, seed: int, *, scatter: float = 0.004) -> Floats:
    """Readings about a level, each second."""
    rng = np.random.default_rng(seed)
    return np.broadcast_to(level, SECONDS) * (1 + scatter * rng.standard_normal(SECONDS))


def channel(role: Role, values: Floats, about: str = "graphics", unit: str = "") -> Channel:
    return Channel(role=role, about=about, unit=unit or UNITS.get(role, "MiB"), values=values)


def machine(seed: int, **other: float | Floats) -> SensorLog:
    """All channels of a graphics part at work; `other` puts another level in the place of one of them."""
    levels = {role: other.get(role.name.lower(), level) for role, level in STEADY.items()}
    channels = [channel(role, readings(level, seed + at)) for at, (role, level) in enumerate(levels.items())]
    return SensorLog(time_s=np.arange(float(SECONDS)), channels=tuple(channels))


def sensed_cell(*logs: SensorLog | None) -> tuple[Candidate, ...]:
    """One good run for each log."""
    return tuple(replace(run, sensors=log) for run, log in zip(cell(len(logs)), logs, strict=True))


def from_second(at: int, before: float, after: float) -> Floats:
    """A level that changes for good."""
    return np.where(np.arange(SECONDS) < at, before, after)
