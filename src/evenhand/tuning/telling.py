"""Which trial tells most of how large a reserve has to be: of all that could come next, what gains most.

A trial's gain is what it takes off the doubt about the voltage that is needed, its standard deviation, on
average over all the ways in which the trial may end, by what is known of the part now. It is held against
what the trial costs: the hours until it ends, setting the point, and the trouble of a crash. So it goes deep
where failures come in minutes and high where they come in hours, and to whichever clock tells more (an
optimal design by one step's look-ahead; Chaloner and Verdinelli 1995, "Bayesian experimental design: a
review", Statistical Science 10).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.tuning.advice import Goal
from evenhand.tuning.edge import EDGE_RATE, Edge

SHORT_H = 1 / 6
LENGTHS_H = (SHORT_H, 1.0, 2.0, 4.0, 8.0)
"""How long a trial may be planned for: ten minutes, some hours, a night."""

CHANGE_H = 0.25
"""What it costs to set a point in the firmware and to start again, in hours."""

CRASH_H = 0.5
"""What a failure costs on top, in hours: a machine that has to be looked after, and files at risk."""

MOST_RATE = 45.0
"""No point is asked for at which the part most likely fails more often an hour: it might not even start."""

MOST_FAILURES = 2.5  # nor is one asked for hours in which it most likely fails more often than that
HIGHEST = 6.0  # e-folds above the edge: higher up next to nothing fails in a night
VOLTAGES = 14  # so many voltages of each clock are weighed
PARTS = 3000  # so many equally likely parts stand for what is known
ENDS = (0.0, 0.01, 0.03, 0.1, 0.3, 1.0)
"""Shares of the hours between which it may fail: how soon it does tells how fast failures come."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """A trial that could come next: what it takes off the doubt on average, and what it costs in hours."""

    clock_mhz: float
    voltage_mv: float
    hours: float
    holds: float
    gain_mv: float
    cost_h: float

    @property
    def worth(self) -> float:
        """The gain in mV for an hour of what it costs."""
        return self.gain_mv / self.cost_h


def telling_trial(
    edge: Edge, goal: Goal, wanted_mhz: float, voltages: Mapping[float, Sequence[float]], room_c: float,
    lengths_h: Sequence[float] = LENGTHS_H,
) -> Telling | None:  # fmt: skip
    """The trial that gains most for what it costs; None where there is none to choose from.

    `voltages` holds for each clock in MHz what may be set there, in mV; of them those are weighed that are
    likely to tell anything. The reserve is that of the wanted clock, trials are at any.
    """
    parts = _Parts(edge, goal, wanted_mhz)
    found = [
        each
        for clock, volts in voltages.items()
        for hours in lengths_h
        if (each := parts.best(clock, volts, room_c, hours)) is not None
    ]
    return max(found, key=lambda each: each.worth, default=None)


class _Parts:
    """Equally likely parts, by the voltage that they need at the wanted clock, ascending."""

    def __init__(self, edge: Edge, goal: Goal, wanted_mhz: float) -> None:
        need = edge.at(wanted_mhz, goal.room_c) + edge.spread_mv * math.log(EDGE_RATE / goal.rate)
        cured = np.flatnonzero(edge.floor == 0)
        order = cured[np.argsort(need[cured])]
        passed = np.cumsum(edge.weights[order])
        picked = order[np.searchsorted(passed, (np.arange(PARTS) + 0.5) / PARTS * passed[-1])]
        self.edge, self.picked, self.spread = edge, picked, edge.spread_mv[picked]
        off = need[picked] - need[picked].mean()
        self.moments = np.column_stack([np.ones(PARTS), off, off**2]) / PARTS
        self.now = float(off.std())

    def best(self, clock: float, volts: Sequence[float], room_c: float, hours: float) -> Telling | None:
        """The voltage at a clock at which so many hours gain most for what they cost."""
        edge = self.edge.at(clock, room_c)[self.picked]
        some = self._likely(np.asarray(volts, dtype=float), float(np.median(edge)), hours)
        if not len(some):
            return None
        rate = EDGE_RATE * np.exp(-np.clip((some[:, None] - edge) / self.spread, -40, 80))
        stays = np.exp(-hours * rate[:, None] * np.array(ENDS)[:, None])  # (voltages, moments, parts)
        ways = np.concatenate([stays[:, :-1] - stays[:, 1:], stays[:, -1:]], axis=1)
        doubt, chance = self._doubt(ways)
        after = (doubt * chance).sum(axis=1)
        holds = stays[:, -1].mean(axis=1)
        cost = ((1 - stays[:, -1]) / rate).mean(axis=1) + CHANGE_H + CRASH_H * (1 - holds)
        i = int(np.argmax((self.now - after) / cost))
        return Telling(
            clock_mhz=clock, voltage_mv=float(some[i]), hours=hours, holds=float(holds[i]),
            gain_mv=self.now - float(after[i]), cost_h=float(cost[i]),
        )  # fmt: skip

    def _likely(self, volts: Floats, middle: float, hours: float) -> Floats:
        """The voltages that may tell anything in so many hours, a few of them where steps are fine."""
        spread = float(np.median(self.spread))
        most = MOST_RATE if hours <= SHORT_H else MOST_FAILURES / hours
        lowest = middle - spread * math.log(most / EDGE_RATE)
        some = volts[(volts >= lowest) & (volts <= middle + HIGHEST * spread)]
        few: Floats = some[np.unique(np.linspace(0, len(some) - 1, min(len(some), VOLTAGES)).astype(int))]
        return few

    def _doubt(self, weights: Floats) -> tuple[Floats, Floats]:
        """The standard deviation of what is needed, for weights (..., PARTS) of the parts, and their sum."""
        total, first, second = np.moveaxis(weights @ self.moments, -1, 0)
        total = np.maximum(total, 1e-12)
        return np.sqrt(np.maximum(second / total - (first / total) ** 2, 0.0)), total
