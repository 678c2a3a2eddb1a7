"""The trials of Dunlin's graphics card: less voltage at its stock clock, under a load that counts errors.

Outcomes are drawn from the card as it is stated in advance; the points are those that the plan asked for.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date, datetime, timedelta, timezone
from functools import partial

import numpy as np

from evenhand.demo.truth import DUNLIN
from evenhand.demo.walked import Asked, Sitting, walked
from evenhand.demo.workshop import setup_key
from evenhand.records.trials import Limit, Meter, Outcome, Quantity, Trial, Tuned
from evenhand.tuning.edge import EDGE_RATE

SEED = 10
LOAD = "shaded tiles"
SHEET = "Harrowfen Lantern 36, data sheet, page 9"
_READ_ON = date(2026, 11, 13)
_SITTING = Sitting(
    first=datetime(2026, 11, 17, 10, 20, tzinfo=timezone(timedelta(hours=1))), pause=timedelta(minutes=4)
)
_MOST_PER_H = 6000.0  # the load draws no more tiles than that

STOCK_MHZ, STOCK_MV = 2310.0, 1015.0

CARD = Tuned(
    setup=setup_key(DUNLIN), part="graphics", stock_clock_mhz=STOCK_MHZ, stock_voltage_mv=STOCK_MV,
    clock_step_mhz=15.0, voltage_step_mv=5.0, hottest_room_c=30.0,
    limits=(
        Limit(quantity=Quantity.VOLTAGE, most=1070.0, source=SHEET, read_on=_READ_ON),
        Limit(quantity=Quantity.CLOCK, most=STOCK_MHZ, source="ourselves: its clock stays at stock",
              read_on=_READ_ON),
        Limit(quantity=Quantity.TEMPERATURE, most=88.0, source=SHEET, read_on=_READ_ON),
    ),
)  # fmt: skip

SOAKS = ((STOCK_MHZ, 960.0, 8.0), (STOCK_MHZ, 960.0, 8.0), (STOCK_MHZ, 960.0, 7.8333))
"""After the walk: clock, voltage and hours, as the plan asked for them one by one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """What is true of the card: edge in a room of 24 °C, mV a K, e-fold; nF switched, watts that leak."""

    edge_mv: float = 912.0
    warmth: float = 0.5
    spread_mv: float = 4.5
    switched_nf: float = 62.0
    leaks_w: float = 22.0

    def rate(self, voltage_mv: float, room_c: float) -> float:
        """Errors an hour at the stock clock."""
        edge = self.edge_mv + self.warmth * (room_c - 24.0)
        return EDGE_RATE * math.exp(-(voltage_mv - edge) / self.spread_mv)

    def watts(self, voltage_mv: float) -> float:
        """Watts by the card's own sensor, at the stock clock under this load."""
        volts = voltage_mv / 1000
        return self.switched_nf * 1e-3 * volts**2 * STOCK_MHZ + self.leaks_w * volts / (STOCK_MV / 1000)


TRUTH = Truth()


def card_trials(seed: int = SEED) -> tuple[Trial, ...]:
    """Every trial, in the order in which they were made.

    >>> made = card_trials()
    >>> made[0].voltage_mv, made[0].errors, made[0].outcome.value
    (1015.0, 0, 'passed')
    """
    rng = np.random.default_rng([seed, 36])
    return walked(CARD, SOAKS, partial(_tried, rng), _SITTING)


def _tried(rng: np.random.Generator, asked: Asked, at: datetime) -> Trial:
    """One trial, run to its end whatever the load counts."""
    clock, voltage, hours = asked
    room = round(float(rng.normal(25.0, 0.6)), 1)
    errors = int(rng.poisson(min(TRUTH.rate(voltage, room), _MOST_PER_H) * hours))
    watts = TRUTH.watts(voltage) * (1 + 0.006 * float(rng.standard_normal()))
    heat = 45.0 + room - 24.0 + 0.19 * (watts - 100.0) + float(rng.normal(0.0, 0.5))
    return Trial(
        setup=CARD.setup, part=CARD.part, clock_mhz=clock, voltage_mv=voltage, load=LOAD,
        hours=round(hours, 4), planned_h=round(hours, 4), errors=errors, room_c=room,
        outcome=Outcome.ERROR if errors else Outcome.PASSED, hottest_c=round(heat, 1),
        watts=round(watts, 1), watts_at=Meter.PART, at=at,
    )  # fmt: skip
