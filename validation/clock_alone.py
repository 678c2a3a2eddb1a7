"""Simulated parts whose clock alone is tuned, by the plan: how often the advised clock meets its target.

`python -m validation.clock_alone [--parts N] [--processes P]` prints a markdown table. Loads end with the
first failure, or count errors and go on: as a Poisson process, or in bursts, where each trial's rate is
multiplied by a random number of mean 1 and standard deviation 0.5 or 1. None counts over 100,000 an hour.
"""

from __future__ import annotations

import argparse
import math
import os
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import date

import numpy as np
from rich.console import Console

from evenhand.records.trials import Limit, Outcome, Quantity, Trial
from evenhand.tuning.advice import Advice, Goal
from evenhand.tuning.clock_plan import clock_standing, next_clock
from evenhand.tuning.edge import EDGE_RATE
from evenhand.tuning.planning import WALK_HOURS, tried_points
from evenhand.tuning.walk import Map, Purpose

ROOM_C, HOTTEST_C = 24.0, 30.0
STOCK, MOST = 3000.0, 4500.0
MOST_PER_H, SOONEST_H = 1e5, 2 / 3600
MOST_TRIALS = 80
LIMIT = Limit(quantity=Quantity.CLOCK, most=MOST, source="the part's data sheet", read_on=date(2026, 11, 1))
COLUMNS = ("e-fold, MHz", "step, MHz", "load", "advised", "of these meet 1e-3/h", "to spare, MHz", "trials",
           "hours before confirming")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """Parts of one sort: e-fold and step in MHz; whether the load counts errors, and how far in bursts."""

    e_fold: float
    step: float
    counts: bool = False
    burst: float = 0.0

    @property
    def load(self) -> str:
        """How it fails."""
        if not self.counts:
            return "ends at the first"
        return f"counts, bursts {self.burst:g}" if self.burst else "counts"


WORLDS = tuple(
    World(e_fold=e_fold, step=step, counts=counts, burst=burst)
    for e_fold in (3.0, 9.0, 20.0)
    for step in (15.0, 50.0)
    for counts, burst in ((False, 0.0), (True, 0.0), (True, 0.5), (True, 1.0))
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One simulated part."""

    world: World
    edge: float
    warmth: float

    def rate(self, clock_mhz: float, room_c: float) -> float:
        """Failures per hour."""
        beyond = clock_mhz - self.edge + self.warmth * (room_c - ROOM_C)
        return EDGE_RATE * math.exp(min(beyond / self.world.e_fold, 40.0))

    def meets(self, goal: Goal) -> float:
        """The highest clock that meets the goal."""
        deep = self.world.e_fold * math.log(EDGE_RATE / goal.rate)
        return self.edge - self.warmth * (goal.room_c - ROOM_C) - deep


def tune(world: World, seed: int, each: int) -> tuple[float | None, int, float]:
    """Tunes a part: MHz to spare (None without advice), trials, hours before the advice is confirmed."""
    rng = np.random.default_rng([seed, each])
    part = Part(world=world, edge=STOCK * rng.uniform(1.1, 1.2), warmth=STOCK * rng.normal(2e-4, 1.2e-4))
    goal = Goal(room_c=HOTTEST_C, step_mv=0.0, step_mhz=world.step)
    clocks = tuple(np.arange(STOCK, MOST + 1, world.step))
    grid = Map(clocks_mhz=clocks, voltages_mv=(0.0,), start=(0, 0))
    trials: list[Trial] = []
    while (walked := next_clock(grid, tried_points(grid, trials))) is not None:
        trials.append(tried(part, clocks[walked.point[0]], WALK_HOURS, rng))
    told = clock_standing(grid, trials, goal, LIMIT, ROOM_C)
    while told.next is not None and told.next.purpose is Purpose.TELLING and len(trials) < MOST_TRIALS:
        trials.append(tried(part, told.next.clock_mhz, told.next.hours, rng))
        told = clock_standing(grid, trials, goal, LIMIT, ROOM_C)
    return spare(part, goal, told.advice), len(trials), sum(trial.hours for trial in trials)


def spare(part: Part, goal: Goal, advice: Advice | None) -> float | None:
    """How far the advised clock lies below what would do."""
    if advice is None or advice.voltage_mv is None:
        return None
    return part.meets(goal) - advice.clock_mhz


def tried(part: Part, clock_mhz: float, hours: float, rng: np.random.Generator) -> Trial:
    """What comes of a trial."""
    room = ROOM_C + float(rng.normal())
    rate, errors, fails_at = part.rate(clock_mhz, room), 0, math.inf
    if part.world.counts:
        burst = part.world.burst
        rate *= rng.gamma(burst**-2, burst**2) if burst else 1.0
        errors = int(rng.poisson(min(rate, MOST_PER_H) * hours))
    else:
        fails_at = rng.exponential(1 / rate) + rng.uniform(0, SOONEST_H)
    failed = errors > 0 or fails_at < hours
    return Trial(
        setup="a", part="memory", clock_mhz=clock_mhz, voltage_mv=0.0, load="blocks", planned_h=hours,
        hours=min(fails_at, hours), errors=errors, room_c=room,
        outcome=Outcome.ERROR if failed else Outcome.PASSED,
    )  # fmt: skip


def row(world: World, made: list[tuple[float | None, int, float]]) -> str:
    """A row of the table."""
    spares = [found for found, _, _ in made if found is not None]
    meet = 100 * float(np.mean(np.array(spares) >= 0)) if spares else math.nan
    cells = (
        f"{world.e_fold:g}", f"{world.step:g}", world.load, f"{len(spares)} of {len(made)}", f"{meet:.1f} %",
        f"{np.mean(spares):.0f}" if spares else "", f"{np.mean([n for _, n, _ in made]):.0f}",
        f"{np.mean([h for _, _, h in made]):.1f}",
    )  # fmt: skip
    return f"| {' | '.join(cells)} |"


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--parts", type=int, default=100)
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--rows", type=int, nargs="*", default=range(len(WORLDS)), help="which, from 0")
    asked, out = parser.parse_args(), Console(width=200, highlight=False)
    out.print(f"| {' | '.join(COLUMNS)} |\n|{'---|' * len(COLUMNS)}")
    with ProcessPoolExecutor(asked.processes) as pool:
        for number in asked.rows:
            each = range(asked.parts)
            worlds, seeds = [WORLDS[number]] * len(each), [number] * len(each)
            out.print(row(WORLDS[number], list(pool.map(tune, worlds, seeds, each))))


if __name__ == "__main__":
    main()
