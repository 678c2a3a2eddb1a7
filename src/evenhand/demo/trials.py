"""The trials of Plover's processor: a simulated part, walked over four clocks, soaked, and held for a day.

Outcomes are drawn from the part as it is stated in advance; the points are those that the plan asked for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta, timezone
from functools import partial

import numpy as np

from evenhand.demo.truth import PLOVER
from evenhand.demo.walked import Asked, Sitting, walked
from evenhand.demo.workshop import setup_key
from evenhand.records.trials import Limit, Meter, Outcome, Quantity, Trial, Tuned
from evenhand.tuning.edge import EDGE_RATE
from evenhand.tuning.network import Stage
from evenhand.tuning.planning import WALK_HOURS

SEED = 10
"""One of the seeds with which some outcomes come out of order, as they do with real parts."""

METER_STREAM = 15
"""Beside the seed: the stream that readings of watts are drawn from."""

SENSOR_C = 0.6  # by which a reading scatters
ROUNDS = 30  # of watts and temperature, each from the other

LOAD = "integers"
SHEET = "Brellow Ash 6, data sheet, second edition, page 14"
_READ_ON = date(2026, 11, 12)
_SITTING = Sitting(
    first=datetime(2026, 11, 14, 9, 10, tzinfo=timezone(timedelta(hours=1))), pause=timedelta(minutes=6)
)

TUNED = Tuned(
    setup=setup_key(PLOVER), part="processor", stock_clock_mhz=4500.0, stock_voltage_mv=1150.0,
    clock_step_mhz=50.0, voltage_step_mv=5.0, hottest_room_c=30.0,
    limits=(
        Limit(quantity=Quantity.VOLTAGE, most=1325.0, source=SHEET, read_on=_READ_ON),
        Limit(quantity=Quantity.CLOCK, most=4650.0, source=SHEET, read_on=_READ_ON),
        Limit(quantity=Quantity.TEMPERATURE, most=95.0, source=SHEET, read_on=_READ_ON),
    ),
)  # fmt: skip

SOAKS = (
    (4500.0, 1085.0, WALK_HOURS), (4650.0, 1195.0, 1.0), (4650.0, 1190.0, 1.0), (4600.0, 1165.0, 1.0),
    (4600.0, 1160.0, 1.0), (4550.0, 1115.0, WALK_HOURS), (4650.0, 1165.0, WALK_HOURS), (4650.0, 1190.0, 1.0),
    (4550.0, 1135.0, 1.0), (4650.0, 1245.0, 8.0), (4650.0, 1245.0, 8.0), (4650.0, 1245.0, 8.0),
)  # fmt: skip
"""After the walk: clock, voltage and hours, as the plan asked for them one by one."""

HELD_H = 24.0
"""So long the advised voltage held without a failure."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chip:
    """What is true of the part: its edge at stock in a room of 24 °C, mV a MHz and a K, and its e-fold."""

    edge_mv: float = 1094.0
    slope: float = 0.55
    warmth: float = 0.6
    spread_mv: float = 4.0

    def rate(self, clock_mhz: float, voltage_mv: float, room_c: float) -> float:
        """Failures an hour."""
        edge = self.edge_mv + self.slope * (clock_mhz - TUNED.stock_clock_mhz) + self.warmth * (room_c - 24.0)
        return EDGE_RATE * math.exp(-(voltage_mv - edge) / self.spread_mv)


CHIP = Chip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Draws:
    """What is true of its watts: nF switched, W that leak at stock and 70 °C, their growth, scatter."""

    switched_nf: float = 12.6
    leaks_w: float = 17.0
    per_v: float = 2.2
    per_c: float = 0.011
    scatter: float = 0.008

    def watts(self, clock_mhz: float, voltage_mv: float, hot_c: float) -> float:
        """Watts by the part's own sensor."""
        grows = self.per_v * (voltage_mv - 1150.0) / 1000 + self.per_c * (hot_c - 70.0)
        return self.switched_nf * 1e-3 * (voltage_mv / 1000) ** 2 * clock_mhz + self.leaks_w * math.exp(grows)


DRAWS = Draws()

NETWORK = (Stage(c_per_w=0.34, seconds=100.0), Stage(c_per_w=0.15, seconds=720.0))
"""What is true of what cools it: its cooler, and the case about it."""

REST_W = 18.0
"""What it draws at rest, before each trial and after."""


def warmest_c(clock_mhz: float, voltage_mv: float, room_c: float, hours: float) -> float:
    """How warm it is at the end of a load that began at rest: steady only after a while.

    >>> [round(warmest_c(4650.0, 1245.0, 24.0, hours), 1) for hours in (1 / 60, 1 / 6, 1.0, 8.0)]
    [47.6, 72.9, 79.8, 80.0]
    """
    found = room_c
    for _ in range(ROUNDS):
        watts = DRAWS.watts(clock_mhz, voltage_mv, found)
        found = room_c + sum(
            stage.c_per_w * (watts - (watts - REST_W) * math.exp(-3600.0 * hours / stage.seconds))
            for stage in NETWORK
        )
    return found


def trials(seed: int = SEED) -> tuple[Trial, ...]:
    """Every trial, in the order in which they were made.

    >>> made = trials()
    >>> made[0].clock_mhz, made[0].voltage_mv, made[0].outcome.value
    (4500.0, 1150.0, 'passed')
    """
    rng = np.random.default_rng([seed, 14])
    made = walked(TUNED, SOAKS, partial(_tried, rng), _SITTING)
    meter = np.random.default_rng([seed, METER_STREAM])  # apart: what the meter scatters changes no outcome
    return tuple(_weighed(trial, meter) for trial in made)


def _weighed(trial: Trial, meter: np.random.Generator) -> Trial:
    """The trial with what the part's own sensor said on average."""
    watts = DRAWS.watts(trial.clock_mhz, trial.voltage_mv, trial.hottest_c or 70.0)
    read = round(watts * (1 + DRAWS.scatter * float(meter.standard_normal())), 1)
    return replace(trial, watts=read, watts_at=Meter.PART)


def _tried(rng: np.random.Generator, asked: Asked, at: datetime) -> Trial:
    """One trial, to its hours or to its failure."""
    clock, voltage, planned = asked
    room = round(float(rng.normal(24.0, 0.7)), 1)
    fails = float(rng.exponential(1 / CHIP.rate(clock, voltage, room)))
    held = fails >= planned
    ran = planned if held else fails
    heat = warmest_c(clock, voltage, room, ran) + float(rng.normal(0.0, SENSOR_C))
    return Trial(
        setup=TUNED.setup, part=TUNED.part, clock_mhz=clock, voltage_mv=voltage, load=LOAD,
        hours=round(ran, 4), planned_h=round(planned, 4),
        outcome=Outcome.PASSED if held else _ending(rng), room_c=room, hottest_c=round(heat, 1), at=at,
    )  # fmt: skip


def _ending(rng: np.random.Generator) -> Outcome:
    """How a failure shows itself."""
    return (Outcome.WRONG_RESULT, Outcome.CRASH, Outcome.REBOOT)[int(rng.choice(3, p=(0.5, 0.3, 0.2)))]
