"""What to try next and what to set, after a walk and some soaks: ``python -m bench.advice``.

Against a plain sum over a fixed grid of everything that the part may be, which gives the voltage alone and
says nothing of what comes next; over many clocks its slopes lie too far apart. Gates no test.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

import numpy as np
from validation.chips import GOAL, LIMIT, ROOM_C, World, made, map_for, next_trial, tried

from evenhand.records.trials import Trial
from evenhand.tuning.edge import EDGE_RATE, Beliefs
from evenhand.tuning.evidence import Evidence, evidence_of
from evenhand.tuning.planning import standing
from evenhand.tuning.walk import Map

ROUNDS = 5
SOAKS = 6
EDGES, SLOPES, WARMTHS, SPREADS = 241, 31, 15, 37  # 2.5 mV, 0.1 mV per MHz, 0.2 mV per K apart


def plainly(evidence: Evidence, clock_mhz: float) -> float:
    """The voltage that is surely enough at a clock, by a sum over a grid."""
    b = Beliefs()
    volts, clocks = evidence.voltage_mv, evidence.clock_mhz
    middle, room = (volts.min() + volts.max()) / 2, (evidence.room_c.min() + evidence.room_c.max()) / 2
    at = (clocks.min() + clocks.max()) / 2
    edge = np.linspace(middle - 300, middle + 300, EDGES)[:, None, None]
    slope = np.linspace(0, b.slope + 2.5 * b.slope_sd, SLOPES)[:, None]
    warmth = np.linspace(b.warmth - 2.8 * b.warmth_sd, b.warmth + 2.8 * b.warmth_sd, WARMTHS)
    line = edge + slope * 0 + warmth * 0
    there = edge + slope * (clock_mhz - at) + warmth * (GOAL.room_c - room)
    prior = -(((edge - middle) / b.edge_sd_mv) ** 2 + ((slope - b.slope) / b.slope_sd) ** 2) / 2
    prior = prior - ((warmth - b.warmth) / b.warmth_sd) ** 2 / 2
    logs, needed = [], []
    for z in np.linspace(-2.8, 2.8, SPREADS):
        spread = b.spread_mv * np.exp(b.spread_sd * z)
        for floor, share in ((0.0, 1 - sum(s for _, s in b.floors)), *b.floors):
            sums = prior + np.log(share) - z**2 / 2
            for each in range(len(volts)):
                here = line + slope * (clocks[each] - at) + warmth * (evidence.room_c[each] - room)
                above = volts[each] - here
                rate = EDGE_RATE * np.exp(-np.clip(above / spread, -40, 80)) + floor
                sums = sums - evidence.hours[each] * rate
                if evidence.failures[each]:
                    sums = sums + evidence.failures[each] * np.log(rate)
            if not floor:
                logs.append(sums.ravel())
                needed.append((there + spread * np.log(EDGE_RATE / GOAL.rate)).ravel())
    weights, values = np.exp(np.concatenate(logs) - max(each.max() for each in logs)), np.concatenate(needed)
    order = np.argsort(values)
    passed = np.cumsum(weights[order])
    return float(values[order][np.searchsorted(passed, GOAL.share * passed[-1])])


def cases() -> Iterator[tuple[Map, list[Trial]]]:
    """Parts after their walk and some soaks, with few clocks and with many."""
    for e_fold, clocks in ((5.0, 4), (10.0, 4), (5.0, 11)):
        world, rng = World(e_fold_mv=e_fold, clocks=clocks), np.random.default_rng(3)
        chip, trials = made(world, rng), list[Trial]()
        grid = map_for(chip, rng)
        soaks = 0
        while (asked := next_trial(grid, trials)) is not None and soaks < SOAKS:
            trials.append(tried(chip, asked, rng))
            soaks += asked.hours >= 1
        yield grid, trials


def timed(work: Callable[[], object], rounds: int) -> float:
    """The median of some rounds, in seconds."""
    took = []
    for _ in range(rounds):
        begin = time.perf_counter()
        work()
        took.append(time.perf_counter() - begin)
    return float(np.median(took))


def main() -> None:
    """Measure and print a table."""
    print("| clocks | trials | next point and advice, s | plain sum, s | ratio | apart, mV |")
    print("|---" * 6 + "|")
    for grid, trials in cases():
        told = standing(grid, trials, GOAL, LIMIT, ROOM_C)
        if told.advice is None or told.advice.needed_mv is None:
            continue
        evidence, clock = evidence_of(trials, room_c=ROOM_C), told.advice.clock_mhz
        ours = timed(lambda g=grid, t=trials: standing(g, t, GOAL, LIMIT, ROOM_C), ROUNDS)  # type: ignore[misc]
        begin = time.perf_counter()
        summed = plainly(evidence, clock)
        plain = time.perf_counter() - begin
        print(
            f"| {len(grid.clocks_mhz)} | {len(trials)} | {ours:.2f} | {plain:.1f} | {plain / ours:.0f} | "
            f"{told.advice.needed_mv[1] - summed:+.1f} |"
        )


if __name__ == "__main__":
    main()
