"""Causes and bridges on simulated studies of known truth.

    python -m validation.causes [--studies 2000] [--designs 500] [--seed 20261128]

Every study goes through `findings.causes` or `findings.bridges` as a real one does. Prints a markdown table.
"""

from __future__ import annotations

import argparse
import math
import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from functools import partial
from typing import TypeAlias

import numpy as np
from rich.console import Console

from evenhand.findings.bridges import NoBridge, bridged, shifts
from evenhand.findings.cause import Cause, Sort, Standing
from evenhand.findings.causes import causes
from evenhand.findings.common_shift import common_shift
from evenhand.findings.effects import Effect
from evenhand.findings.finding import Outcome
from evenhand.findings.scaling import TOGETHER, elasticities
from validation.swaps import CLOCKS, Swapped, World, clocked, driver_change, oracle, random_design, swapped

CHUNK = 100
NEAR = 0.008  # of the ratio: what a recovered driver shift may be off by

Counts: TypeAlias = dict[str, tuple[float, float]]
"""By what is counted: events and chances in one study."""

Goals: TypeAlias = Mapping[str, tuple[float | None, float | None]]
"""By what is counted: the bounds in which it should lie."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What is counted in studies of one sort, and the bounds in which each figure should lie."""

    what: str
    count: Callable[[np.random.Generator], Counts]
    goals: Goals = field(default_factory=dict)


def swap_counts(world: World, rng: np.random.Generator) -> Counts:
    """Coverage of main effects and interactions; studies in which an effect of nothing is called."""
    made = swapped(world, rng)
    found = causes(made.study.setups[-1], made.study.setups[0], bench=made.bench, study=made.study)
    counts: Counts = {}
    for sort in Sort:
        of_sort = [c for c in found if c.sort is sort]
        if of_sort:
            counts[f"{sort}s"] = float(sum(_holds(c, made) for c in of_sort)), float(len(of_sort))
    if world.effect == world.interaction == 0.0:
        return {"studies with a false cause": (float(any(map(_claims, found))), 1.0)}
    return counts


def _holds(cause: Cause, made: Swapped) -> bool:
    """Whether the interval holds the true value of what the weights sum up, as the design means it."""
    first, *second = cause.changes
    truth = {s: v for (s, test), v in made.truth.items() if test == cause.test}
    if second:
        corners = {f"{p}{g}": sign for p, s in ((first.low, -1), (first.high, 1))
                   for g, sign in ((second[0].low, -s), (second[0].high, s))}  # fmt: skip
        true = sum(sign * truth[s] for s, sign in corners.items())
    else:
        true = _least_squares(truth, first.low, first.high)
    return cause.effect is not None and _inside(cause.effect, true)


def _least_squares(truth: dict[str, float], low: str, high: str) -> float:
    """The effect that a regression on the true cell means has, by dummies against the first level."""
    names = sorted(truth)
    p, g = sorted({n[:2] for n in names}), sorted({n[2:] for n in names})
    table = np.array([[1.0, *(n[:2] == x for x in p[1:]), *(n[2:] == x for x in g[1:])] for n in names])
    fitted = np.linalg.lstsq(table, np.array([truth[n] for n in names]), rcond=None)[0]
    levels = {**dict(zip(p, [0.0, *fitted[1 : len(p)]], strict=True)),
              **dict(zip(g, [0.0, *fitted[len(p) :]], strict=True))}  # fmt: skip
    return float(levels[high] - levels[low])


def _inside(effect: Effect, true: float) -> bool:
    low, high = effect.low, effect.high
    return low is not None and high is not None and math.log(low) <= true <= math.log(high)


def _claims(cause: Cause) -> bool:
    return cause.effect is not None and cause.effect.outcome in (Outcome.AHEAD, Outcome.BEHIND)


def design_counts(rng: np.random.Generator) -> Counts:
    """Random designs: changes that nothing tells apart must be refused, and no others.

    Each design is asked for its first two setups. Confounded are designs in which the oracle finds a change
    between these that cannot be estimated.
    """
    made = random_design(rng)
    a, b = made.study.setups[:2]
    asked = [f for f in made.levels[a] if f != "driver" and made.levels[a][f] != made.levels[b][f]]
    told = {f: oracle(made.levels, f, made.levels[b][f], made.levels[a][f]) for f in asked}
    found = causes(a, b, bench=made.bench, study=made.study)
    shown = {c.factors[0] for c in found if c.sort is Sort.EFFECT and c.standing is Standing.SHOWN}
    refused = [f not in shown for f, estimable in told.items() if not estimable]
    kept = [f in shown for f, estimable in told.items() if estimable]
    counts: Counts = {}
    if refused:
        counts["confounded designs refused"] = float(all(refused)), 1.0
    if kept:
        counts["designs of sufficient rank with a false refusal"] = float(not all(kept)), 1.0
    return counts


def shift_counts(rng: np.random.Generator, *, runs: int, boot_sd: float) -> Counts:
    """A 3 % driver shift: how often it is recovered, covered, bridged, and refused without a bridge."""
    made = driver_change(rng, runs=runs, boot_sd=boot_sd)
    found = shifts("anchor", old=made.old, new=made.new, study=made.study)
    sides = ("plover", made.new), ("wren", made.old)
    over = bridged(*sides, anchors=["anchor"], study=made.study)
    without = bridged(*sides, anchors=[], study=made.study)
    logs = [math.log(s.effect.ratio) for s in found]
    near = [abs(math.exp(log) - math.exp(made.shift)) <= NEAR for log in logs]
    common = common_shift("anchor", old=made.old, new=made.new, study=made.study)
    together = abs(common.ratio - math.exp(made.shift)) <= NEAR if common else False
    joined = [_inside(b.effect, made.lead) for b in over if not isinstance(b, NoBridge)]
    return {
        "shift of a test within ± 0.8 %": (float(sum(near)), float(len(near))),
        "shift over nine tests within ± 0.8 %": (float(together), 1.0),
        "95 % interval of the shift over nine tests": (
            float(common is not None and _inside(common, made.shift)), 1.0),
        "95 % interval of a test's shift": (
            float(sum(_inside(s.effect, made.shift) for s in found)), float(len(found))),
        "95 % interval of a bridged ratio": (float(sum(joined)), float(len(joined))),
        "unbridged ratios refused": (
            float(sum(isinstance(b, NoBridge) for b in without)), float(len(made.study.tests))),
    }  # fmt: skip


def clock_counts(rng: np.random.Generator, *, runs: int) -> Counts:
    """Elasticities of two clocks, and of both together, and a β of exactly 1 that is called more."""
    betas = float(rng.uniform(0.0, 0.9)), float(rng.uniform(0.0, 0.1))
    true = {**dict(zip(CLOCKS, betas, strict=True)), TOGETHER: sum(betas)}
    found = elasticities(clocked(betas, runs=runs, rng=rng), boot_allowance=0.01)
    whole = elasticities(clocked((1.0, 0.0), runs=runs, rng=rng), boot_allowance=0.01)
    ones = [s.surely_above_one for s in whole if s.setting == CLOCKS[0]]
    held = [s.low is not None and s.high is not None and s.low <= true[s.setting] <= s.high for s in found]
    return {
        "95 % interval of an elasticity": (float(sum(held)), float(len(held))),
        "β of 1 called surely above 1": (float(sum(ones)), float(len(ones))),
    }


COVERED: Goals = {"effects": (0.93, 0.97), "interactions": (0.93, 0.97)}


def lines() -> Iterator[Line]:
    """Every sort of study, in the order of the table."""
    for boots in (3, 5):
        for boot_sd in (0.0, 0.005, 0.01):
            shared = f", boots share {100 * boot_sd:g} %" if boot_sd else ""
            yield _swap_line(f"2×2, n = {boots}{shared}", World(boots=boots, boot_sd=boot_sd))
    yield _swap_line("2×2, 3 boots of 2 runs, boots share 1 %", World(boot_sd=0.01, runs_a_boot=2))
    yield _swap_line("2×2, one test only, n = 3", World(tests=1))
    yield _swap_line("2×2, one setup lost a run, n = 3, boots share 0.5 %", World(boot_sd=0.005, lost=True))
    yield _swap_line("3 corners of a 2×2, n = 3, boots share 0.5 %", World(boot_sd=0.005, missing=((0, 1),)))
    yield _swap_line("3×2, one setup missing, n = 3, boots share 0.5 %",
                     World(boot_sd=0.005, levels=(3, 2), missing=((1, 1),)))  # fmt: skip
    for boots in (3, 5):
        nothing = World(boots=boots, boot_sd=0.005, effect=0.0, interaction=0.0)
        goals = {"studies with a false cause": (None, 0.03)}
        yield Line(what=f"nothing differs, n = {boots}, boots share 0.5 %", goals=goals,
                   count=partial(swap_counts, nothing))  # fmt: skip
    for runs, boot_sd in ((3, 0.0), (5, 0.0), (8, 0.0), (5, 0.005)):
        yield _shift_line(runs, boot_sd)

    for runs in (3, 5):
        yield Line(
            what=f"two clocks 10 % apart, n = {runs}",
            goals={
                "95 % interval of an elasticity": (0.93, 0.97),
                "β of 1 called surely above 1": (None, 0.03),
            },
            count=partial(clock_counts, runs=runs),
        )


def _swap_line(what: str, world: World) -> Line:
    return Line(what=what, goals=COVERED, count=partial(swap_counts, world))


def _shift_line(runs: int, boot_sd: float) -> Line:
    shared = f", boots share {100 * boot_sd:g} %" if boot_sd else ""
    goals: Goals = {
        "unbridged ratios refused": (1.0, None),
        "shift over nine tests within ± 0.8 %": (0.95, None),
        "95 % interval of a test's shift": (0.93, 0.97),
        "95 % interval of the shift over nine tests": (0.93, 0.97),
        "95 % interval of a bridged ratio": (0.93, 0.97),
    }
    return Line(what=f"driver + 3 %, n = {runs}{shared}", goals=goals,
                count=partial(shift_counts, runs=runs, boot_sd=boot_sd))  # fmt: skip


DESIGNS = Line(
    what="random designs",
    count=design_counts,
    goals={
        "confounded designs refused": (1.0, None),
        "designs of sufficient rank with a false refusal": (None, 0.0),
    },
)


def run_chunk(number: int, chunk: int, seed: int) -> tuple[int, list[Counts]]:
    """The counts of one line over some studies; the line goes by number, as functions stay at home."""
    line = list(lines())[number]
    rng = np.random.default_rng([seed, number, chunk])
    return number, [line.count(rng) for _ in range(CHUNK)]


def enough_designs(wanted: int, seed: int) -> list[Counts]:
    """Random designs until so many were confounded, and as many had something of sufficient rank."""
    rng = np.random.default_rng([seed, 0xD])
    found: list[Counts] = []
    while min(sum(goal in counts for counts in found) for goal in DESIGNS.goals) < wanted:
        found.append(design_counts(rng))
    return found


def table(measured: Sequence[tuple[Line, Sequence[Counts]]]) -> str:
    """The figures as a markdown table."""
    head = [
        "| studies | what | goal | measured | ± | met | studies counted |",
        "|---|---|---|---|---|---|---|",
    ]
    rows = [_row(line, what, found) for line, found in measured for what in _names(found)]
    return "\n".join([*head, *rows])


def _names(found: Sequence[Counts]) -> list[str]:
    return list(dict.fromkeys(what for counts in found for what in counts))


def _row(line: Line, what: str, found: Sequence[Counts]) -> str:
    figure, error, studies = figure_of(what, found)
    low, high = line.goals.get(what, (None, None))
    met = (low is None or figure >= low) and (high is None or figure <= high)
    asked = "" if low is None and high is None else "yes" if met else "**no**"
    name = f"95 % interval of {what}" if what in COVERED else what
    return (
        f"| {line.what} | {name} | {_bounds(low, high)} | {100 * figure:.1f} % | {100 * error:.1f} | {asked} "
        f"| {studies} |"
    )


def _bounds(low: float | None, high: float | None) -> str:
    if low is not None and high is not None:
        return f"{100 * low:g}–{100 * high:g} %"
    if low is not None:
        return f"{100 * low:g} %" if low == 1.0 else f"≥ {100 * low:g} %"
    return "shown" if high is None else f"{100 * high:g} %" if high == 0.0 else f"≤ {100 * high:g} %"


def figure_of(what: str, found: Sequence[Counts]) -> tuple[float, float, int]:
    """Events over chances, its standard error over studies, and the number of studies that had a chance."""
    there = np.array([counts[what] for counts in found if what in counts])
    e, c = there.T
    ratio = float(e.sum() / c.sum())
    return ratio, float(np.sqrt(((e - ratio * c) ** 2).sum()) / c.sum()), len(there)


def measure(studies: int, designs: int, seed: int) -> list[tuple[Line, list[Counts]]]:
    """All lines over at least so many studies each, on all processors."""
    wanted = list(lines())
    found: list[list[Counts]] = [[] for _ in wanted]
    tasks = [
        (number, chunk, seed) for number in range(len(wanted)) for chunk in range(math.ceil(studies / CHUNK))
    ]
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        for number, counts in pool.map(run_chunk, *zip(*tasks, strict=True)):
            found[number] += counts
    return [(DESIGNS, enough_designs(designs, seed)), *zip(wanted, found, strict=True)]


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--studies", type=int, default=2000)
    parser.add_argument("--designs", type=int, default=500)
    parser.add_argument("--seed", type=int, default=20261128)
    given = parser.parse_args()
    text = table(measure(given.studies, given.designs, given.seed))
    Console(soft_wrap=True, markup=False, highlight=False).print(text)


if __name__ == "__main__":
    main()
