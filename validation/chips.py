"""Simulated parts, tuned by the plan: how often the advised voltage meets its target, and with what to spare.

`python -m validation.chips [--chips N] [--processes P]` prints a markdown table. Each part has an edge, a
slope, an e-fold and a warmth of its own; it fails as a Poisson process. Everything else is what a reviewer
would do: set what is said, run it for as long as is said, write down how it ended. In the second three rows
what is believed beforehand of the slope is wrong by a factor of three; in the last rows a rate of failures
stays that no voltage cures.
"""

from __future__ import annotations

import argparse
import math
import os
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import date

import numpy as np
from rich.console import Console

from evenhand.records.trials import Limit, Outcome, Quantity, Trial
from evenhand.tuning.advice import Advice, Goal, Withheld, advise
from evenhand.tuning.edge import EDGE_RATE, Beliefs, learn
from evenhand.tuning.planning import UPWARD, NextTrial, Standing, standing, tried_points, walk_trial
from evenhand.tuning.walk import Map, Purpose

ROOM_C, HOTTEST_C = 24.0, 30.0
GOAL = Goal(room_c=HOTTEST_C, step_mv=5.0)
LIMIT = Limit(
    quantity=Quantity.VOLTAGE, most=1500.0, source="the part's data sheet", read_on=date(2026, 11, 1)
)
MOST_TRIALS = 120
COLUMNS = (
    "e-fold, mV", "slope, mV/MHz", "never cured, /h", "advised", "of these meet 1e-3/h", "to spare, mV",
    "were the e-fold known, mV", "trials", "failures", "hours before confirming", "hours in all", "no advice",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """Parts of one sort: e-fold, median slope (mV per MHz), a rate that no voltage cures, how many clocks."""

    e_fold_mv: float
    slope: float = 0.5
    uncured: float = 0.0
    clocks: int = 4


WORLDS = (
    *(World(e_fold_mv=s) for s in (2.5, 5.0, 10.0)),
    *(World(e_fold_mv=s, slope=1.5) for s in (2.5, 5.0, 10.0)),
    *(World(e_fold_mv=5.0, uncured=rate) for rate in (0.05, 0.2, 1.0)),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Chip:
    """One simulated part."""

    world: World
    edge_mv: float
    slope: float
    warmth: float

    def rate(self, voltage_mv: float, clock_mhz: float, room_c: float) -> float:
        """Failures per hour at a point."""
        above = voltage_mv - self._edge(clock_mhz, room_c)
        return EDGE_RATE * math.exp(min(-above / self.world.e_fold_mv, 60.0)) + self.world.uncured

    def needed_mv(self, clock_mhz: float) -> float:
        """The voltage that meets the goal; infinite where none does."""
        left = GOAL.rate - self.world.uncured
        if left <= 0:
            return math.inf
        return self._edge(clock_mhz, HOTTEST_C) + self.world.e_fold_mv * math.log(EDGE_RATE / left)

    def _edge(self, clock_mhz: float, room_c: float) -> float:
        return self.edge_mv + self.slope * (clock_mhz - 5000) + self.warmth * (room_c - ROOM_C)


@dataclass(frozen=True, slots=True, kw_only=True)
class Tuned:
    """How tuning a part came out: what it had to spare (None without advice), and what it took.

    `spare_if_known_mv` is what the same trials leave to spare to somebody who knows the e-fold beforehand: no
    plan that is given as many trials gets below that.
    """

    spare_mv: float | None
    spare_if_known_mv: float | None
    withheld: Withheld | None
    trials: int
    failures: int
    hours: float
    hours_before_confirming: float


def made(world: World, rng: np.random.Generator) -> Chip:
    """A part of a world."""
    return Chip(
        world=world, edge_mv=rng.uniform(950, 1000), slope=world.slope * float(np.exp(0.5 * rng.normal())),
        warmth=rng.normal(0.5, 0.3),
    )  # fmt: skip


def tune(chip: Chip, rng: np.random.Generator) -> Tuned:
    """Tunes a part as the plan says, until the plan is done."""
    grid = map_for(chip, rng)
    trials: list[Trial] = []
    while (asked := next_trial(grid, trials)) is not None and len(trials) < MOST_TRIALS:
        trials.append(tried(chip, asked, rng))
    told = standing(grid, trials, GOAL, LIMIT, ROOM_C)
    before = [trial for trial in trials if trial.note != Purpose.CONFIRM]
    return Tuned(
        spare_mv=spare(chip, told.advice), spare_if_known_mv=spare(chip, knowing(chip, told)),
        withheld=told.advice.withheld if told.advice else None,
        trials=len(trials), failures=sum(trial.outcome.failed for trial in trials),
        hours=sum(trial.hours for trial in trials), hours_before_confirming=sum(t.hours for t in before),
    )  # fmt: skip


def knowing(chip: Chip, told: Standing) -> Advice | None:
    """The advice to somebody who knows the part's e-fold, from the same trials and for the same clock."""
    if told.evidence is None or told.advice is None or told.advice.withheld is not None:
        return None
    edge = learn(told.evidence, Beliefs(spread_mv=chip.world.e_fold_mv, spread_sd=0.001))
    return advise(edge, told.evidence, told.advice.clock_mhz, GOAL, LIMIT)


def map_for(chip: Chip, rng: np.random.Generator) -> Map:
    """The part's map, from a stock that lies 30 to 60 mV above its edge."""
    stock = 5.0 * math.ceil((chip.edge_mv + rng.uniform(30, 60)) / 5)
    volts = tuple(np.arange(800.0, LIMIT.most + 1, 5.0))
    return Map(
        clocks_mhz=tuple(5000.0 + 50 * i for i in range(chip.world.clocks)), voltages_mv=volts,
        start=(0, volts.index(stock)),
    )  # fmt: skip


def next_trial(grid: Map, trials: list[Trial]) -> NextTrial | None:
    """What the plan asks for next. Downward the walk decides alone: the model need not be asked."""
    walked = walk_trial(grid, tried_points(grid, trials))
    if walked is not None and (walked.purpose not in UPWARD or not trials):
        return walked
    return standing(grid, trials, GOAL, LIMIT, ROOM_C).next


def spare(chip: Chip, advice: Advice | None) -> float | None:
    """How far the advised voltage lies above what the part needs."""
    if advice is None or advice.voltage_mv is None:
        return None
    return advice.voltage_mv - chip.needed_mv(advice.clock_mhz)


def tried(chip: Chip, asked: NextTrial, rng: np.random.Generator) -> Trial:
    """What comes of a trial: it fails at a moment of its own, or holds."""
    room = ROOM_C + float(rng.normal())
    fails_at = rng.exponential(1 / chip.rate(asked.voltage_mv, asked.clock_mhz, room))
    return Trial(
        setup="a", part="processor", clock_mhz=asked.clock_mhz, voltage_mv=asked.voltage_mv, load="integers",
        hours=min(fails_at, asked.hours), planned_h=asked.hours, room_c=room, note=asked.purpose,
        outcome=Outcome.CRASH if fails_at < asked.hours else Outcome.PASSED,
    )  # fmt: skip


def chunk(world: World, seed: int, chips: int) -> list[Tuned]:
    """Some parts of a world, each with random numbers of its own."""
    found = []
    for each in range(chips):
        rng = np.random.default_rng([seed, each])
        found.append(tune(made(world, rng), rng))
    return found


def row(world: World, found: list[Tuned]) -> str:
    """A line of the table."""
    advised = [each.spare_mv for each in found if each.spare_mv is not None]
    met = sum(spare >= 0 for spare in advised)
    known = [each.spare_if_known_mv for each in found if each.spare_if_known_mv is not None]
    means = [f"{np.mean(some):+.1f}" if some and not world.uncured else "–" for some in (advised, known)]
    why = Counter(each.withheld.value for each in found if each.withheld)
    return (
        f"| {world.e_fold_mv:g} | {world.slope:g} | {world.uncured:g} | {len(advised)} of {len(found)} | "
        f"{met / max(len(advised), 1):.1%} | {' | '.join(means)} | "
        f"{np.mean([each.trials for each in found]):.1f} | "
        f"{np.mean([each.failures for each in found]):.1f} | "
        f"{np.mean([each.hours_before_confirming for each in found]):.1f} | "
        f"{np.mean([each.hours for each in found]):.1f} | "
        f"{', '.join(f'{count}: {reason}' for reason, count in why.most_common()) or '–'} |"
    )


def rows(worlds: tuple[World, ...], chips: int, processes: int) -> Iterator[str]:
    """The lines of the table, a world each."""
    size = max(chips // (4 * processes), 1)
    with ProcessPoolExecutor(processes) as pool:
        for world in worlds:
            seeds = range(math.ceil(chips / size))
            found = pool.map(chunk, *zip(*((world, seed, size) for seed in seeds), strict=True))
            yield row(world, [each for some in found for each in some][:chips])


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--chips", type=int, default=1000)
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--rows", type=int, nargs="*", default=range(len(WORLDS)), help="which, from 0")
    asked = parser.parse_args()
    out = Console(width=400, highlight=False)
    out.print("| " + " | ".join(COLUMNS) + " |")
    out.print("|---" * len(COLUMNS) + "|")
    for line in rows(tuple(WORLDS[i] for i in asked.rows), asked.chips, asked.processes):
        out.print(line)


if __name__ == "__main__":
    main()
