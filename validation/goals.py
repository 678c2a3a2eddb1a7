"""The numeric goals for comparisons, from simulated studies of known truth.

    python -m validation.goals [--studies 2000] [--seed 20261124]

Each study goes the way a real one goes, through `compare_study`. Prints a markdown table.
"""

from __future__ import annotations

import argparse
import math
import os
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass, field
from typing import TypeAlias

import numpy as np
from rich.console import Console
from rich.progress import Progress
from scipy import special

from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Comparison, Finding, Index, Outcome
from validation.studies import Simulated, World, simulate

CHUNK = 125  # studies a task: the seed of a task depends on its number alone, not on who works on it


Count: TypeAlias = Callable[[Simulated, Comparison], tuple[float, float]]
Counts: TypeAlias = list[list[tuple[float, float]]]  # by study, then by goal


@dataclass(frozen=True, slots=True, kw_only=True)
class Goal:
    """One line of the table: what is counted in which world, and within which bounds it should lie.

    `count` turns a study into (events, chances); the figure is their ratio over all studies. `times`
    multiplies the number of studies where a study yields a single number.
    """

    what: str
    world: World
    count: Count
    low: float | None = None
    high: float | None = None
    times: int = 1


@dataclass(slots=True)
class Tally:
    """Events and chances by study, for a ratio and its standard error over studies."""

    events: list[float] = field(default_factory=list)
    chances: list[float] = field(default_factory=list)

    def add(self, counts: Sequence[tuple[float, float]]) -> None:
        """Take in the counts of some studies."""
        self.events += [e for e, _ in counts]
        self.chances += [c for _, c in counts]

    def figure(self) -> tuple[float, float]:
        """The ratio and its standard error, studies being independent (linearised ratio)."""
        e, c = np.array(self.events), np.array(self.chances)
        ratio = float(e.sum() / c.sum())
        return ratio, float(np.sqrt(((e - ratio * c) ** 2).sum()) / c.sum())


def covered(made: Simulated, seen: Comparison) -> tuple[float, float]:
    """Findings whose 95 % interval holds the true ratio."""
    return _share([_holds(f, made) for f in seen.findings])


def covered_noisiest(made: Simulated, seen: Comparison) -> tuple[float, float]:
    """The same for the test with the largest true spread."""
    noisiest = max(made.sds, key=lambda t: made.sds[t])
    return _share([_holds(f, made) for f in seen.findings if f.test == noisiest])


def covered_first(made: Simulated, seen: Comparison) -> tuple[float, float]:
    """The same for the first test: the one made noisy, or short of a run."""
    return _share([_holds(f, made) for f in seen.findings if f.test == "test-0"])


def width_saved(made: Simulated, seen: Comparison) -> tuple[float, float]:
    """Log width saved against Welch's interval of the same runs, over Welch's width."""
    own = [math.log(f.high / f.low) for f in seen.findings if f.high and f.low]
    theirs = [_welch_width(made.logs[f.a, f.test], made.logs[f.b, f.test]) for f in seen.findings]
    return sum(theirs) - sum(own), sum(theirs)


def index_covered(made: Simulated, seen: Comparison) -> tuple[float, float]:
    """Indexes over all tests whose 95 % interval holds the true weighted mean."""
    return _share([_index_holds(i, made) for i in seen.indexes if i.group == ""])


def false_ahead(_made: Simulated, seen: Comparison) -> tuple[float, float]:
    """Studies in which a finding says ahead or behind where nothing differs."""
    return _share([any(_claims(f) for f in seen.findings)])


def false_ahead_anywhere(_made: Simulated, seen: Comparison) -> tuple[float, float]:
    """Studies in which a finding or an index says ahead or behind where nothing differs."""
    return _share([any(map(_claims, seen.findings)) or any(map(_claims, seen.indexes))])


def called_level(_made: Simulated, seen: Comparison) -> tuple[float, float]:
    """Findings called level."""
    return _share([f.outcome is Outcome.LEVEL for f in seen.findings])


def unsettled(_made: Simulated, seen: Comparison) -> tuple[float, float]:
    """Findings left unsettled."""
    return _share([f.outcome is Outcome.UNSETTLED for f in seen.findings])


def _share(flags: Sequence[bool]) -> tuple[float, float]:
    return float(sum(flags)), float(len(flags))


def _claims(said: Finding | Index) -> bool:
    return said.outcome in (Outcome.AHEAD, Outcome.BEHIND)


def _holds(f: Finding, made: Simulated) -> bool:
    true = math.exp(made.truth[f.a, f.test] - made.truth[f.b, f.test])
    return f.low is not None and f.high is not None and f.low <= true <= f.high


def _index_holds(i: Index, made: Simulated) -> bool:
    weights = [made.study.weights.get(t, 1.0) for t in i.tests]
    logs = [made.truth[i.a, t] - made.truth[i.b, t] for t in i.tests]
    true = math.exp(float(np.average(logs, weights=weights)))
    return i.low is not None and i.high is not None and i.low <= true <= i.high


def _welch_width(a: Sequence[float], b: Sequence[float]) -> float:
    part_a, part_b = np.var(a, ddof=1) / len(a), np.var(b, ddof=1) / len(b)
    df = (part_a + part_b) ** 2 / (part_a**2 / (len(a) - 1) + part_b**2 / (len(b) - 1))
    return float(2 * special.stdtrit(df, 0.975) * math.sqrt(part_a + part_b))


def goals() -> Iterator[Goal]:
    """Every goal, in the order of the method."""
    yield from _interval_goals()
    yield from _boot_goals()
    yield from _index_goals()
    yield from _claim_goals()
    yield from _unplanned_goals()


def _interval_goals() -> Iterator[Goal]:
    for n in (3, 5, 8):
        yield Goal(
            what=f"95 % interval of a test, n = {n}", world=World(runs=n), count=covered, low=0.94, high=0.96
        )
    for n in (5, 8):
        world = World(runs=n, block_sd=0.01)
        yield Goal(
            what=f"… with an error of 1 % shared within blocks, n = {n}", world=world, count=covered, low=0.94
        )
    yield Goal(what="width saved against Welch, n = 3", world=World(), count=width_saved, low=0.23)
    for n in (3, 5, 8):
        yield Goal(
            what=f"noisiest of nine like tests, n = {n}",
            world=World(runs=n),
            count=covered_noisiest,
            low=0.93,
        )
    for factor in (2.0, 3.0, 5.0):
        for n in (3, 5):
            what = f"a test {factor:g} times as noisy as the rest, n = {n}"
            yield Goal(what=what, world=World(runs=n, noisy=factor), count=covered_first, low=0.93)
    for tests in (1, 2, 4):
        what = f"95 % interval, {tests} test{'s' * (tests > 1)} in the study, n = 3"
        yield Goal(what=what, world=World(tests=tests), count=covered, low=0.94, high=0.96, times=2)


def _boot_goals() -> Iterator[Goal]:
    for sd in (0.005, 0.01):
        shared = f"boots share an error of {100 * sd:g} %"
        yield Goal(
            what=f"95 % interval, {shared}, 3 boots of 1 run",
            world=World(boot_sd=sd),
            count=covered,
            low=0.94,
        )
        world = World(boot_sd=sd, design="boots", runs_a_boot=2)
        yield Goal(what=f"95 % interval, {shared}, 3 boots of 2 runs", world=world, count=covered, low=0.94)
    what = "… a test that lost a run, boots share 1 %, n = 5"
    yield Goal(what=what, world=World(runs=5, boot_sd=0.01, gap=True), count=covered_first, low=0.94)


def _index_goals() -> Iterator[Goal]:
    for n in (3, 5):
        yield Goal(
            what=f"index, n = {n}", world=World(runs=n), count=index_covered, times=2, low=0.945, high=0.955
        )
        yield Goal(
            what=f"index, weighted, n = {n}",
            world=World(runs=n, weighted=True),
            count=index_covered,
            times=2,
            low=0.945,
            high=0.955,
        )
        world = World(runs=n, design="unplaced")
        yield Goal(
            what=f"index, no boots on record, n = {n}",
            world=world,
            count=index_covered,
            times=2,
            low=0.945,
            high=0.955,
        )
        shared = f"boots share an error of 1 %, n = {n}"
        yield Goal(
            what=f"index, {shared}", world=World(runs=n, boot_sd=0.01), count=index_covered, low=0.94, times=2
        )
        yield Goal(
            what=f"index, one run set aside, {shared}",
            world=World(runs=n, boot_sd=0.01, gap=True),
            count=index_covered,
            low=0.94,
            times=2,
        )


def _claim_goals() -> Iterator[Goal]:
    for sd in (0.008, 0.01, 0.012):
        for n in (3, 5, 8):
            what = f"studies with a false ahead, run sd {100 * sd:g} %, n = {n}"
            world = World(runs=n, run_sd=sd, effects="none")
            yield Goal(what=what, world=world, count=false_ahead, high=0.03)
    for n in (3, 5):
        world = World(runs=n, setups=3, effects="none")
        what = f"… three setups, indexes counted too, n = {n}"
        yield Goal(what=what, world=world, count=false_ahead_anywhere, high=0.03)
        what = f"… boots share an error of 1 %, indexes counted too, n = {n}"
        yield Goal(
            what=what,
            world=World(runs=n, boot_sd=0.01, effects="none"),
            count=false_ahead_anywhere,
            high=0.03,
        )
    for n in (3, 5, 8):
        what = f"false level at exactly the margin, n = {n}"
        yield Goal(what=what, world=World(runs=n, effects="margin"), count=called_level, high=0.05)
    for sd in (0.01, 0.012):
        what = f"unsettled, run sd {100 * sd:g} %, n = 5, effect 0 or ≥ 3 %"
        yield Goal(what=what, world=World(runs=5, run_sd=sd, effects="mixed"), count=unsettled, high=0.10)
    yield Goal(
        what="… effect 0 only, run sd 1 %", world=World(runs=5, effects="none"), count=unsettled, high=0.10
    )
    yield Goal(
        what="… effect of exactly 3 % only, run sd 1 %",
        world=World(runs=5, effects="at 3 %"),
        count=unsettled,
    )


def _unplanned_goals() -> Iterator[Goal]:
    for sd in (0.005, 0.0075, 0.01):
        for n in (3, 5):
            what = (
                f"one boot a side, one side first, {100 * sd:g} % shared, n = {n}: studies with a false ahead"
            )
            world = World(runs=n, design="one boot", boot_sd=sd, effects="none")
            yield Goal(what=what, world=world, count=false_ahead, high=0.03)
            yield Goal(
                what=f"{what}, indexes counted too", world=world, count=false_ahead_anywhere, high=0.03
            )
    for n in (3, 5):
        world = World(runs=n, design="one boot", boot_sd=0.01)
        yield Goal(what=f"… coverage of its intervals, 1 % shared, n = {n}", world=world, count=covered)
    for sd in (0.005, 0.01):
        world = World(runs=5, design="one boot", boot_sd=sd, effects="margin")
        what = f"… false level at the margin, {100 * sd:g} % shared, n = 5"
        yield Goal(what=what, world=world, count=called_level, high=0.05)


def worlds() -> dict[World, list[Goal]]:
    """Goals by the world they are counted in: one simulated study serves them all."""
    shared: dict[World, list[Goal]] = {}
    for goal in goals():
        shared.setdefault(goal.world, []).append(goal)
    return shared


def run_chunk(number: int, chunk: int, studies: int, seed: int) -> tuple[int, Counts]:
    """Count the goals of one world over some studies; the world goes by number, as functions stay at home."""
    world, wanted = list(worlds().items())[number]
    rng = np.random.default_rng([seed, number, chunk])
    counts: Counts = []
    for _ in range(studies):
        made = simulate(world, rng)
        seen = compare_study(made.cells, study=made.study)
        counts.append([goal.count(made, seen) for goal in wanted])
    return number, counts


def measure(studies: int, seed: int) -> list[tuple[Goal, Tally]]:
    """All goals over at least so many studies each, on all processors."""
    wanted = list(worlds().values())
    tallies = {goal.what: Tally() for goal in goals()}
    tasks = [
        (number, chunk, CHUNK, seed)
        for number, members in enumerate(wanted)
        for chunk in range(math.ceil(studies * max(g.times for g in members) / CHUNK))
    ]
    with ProcessPoolExecutor(os.cpu_count()) as pool, Progress(console=Console(stderr=True)) as bar:
        shown = bar.add_task("studies of known truth", total=len(tasks))
        for done in as_completed([pool.submit(run_chunk, *task) for task in tasks]):
            number, counts = done.result()
            for place, goal in enumerate(wanted[number]):
                tallies[goal.what].add([row[place] for row in counts])
            bar.advance(shown)
    return [(goal, tallies[goal.what]) for goal in goals()]


def table(measured: Sequence[tuple[Goal, Tally]]) -> str:
    """The goals as a markdown table."""
    lines = ["| what | goal | measured | ± | met | studies |", "|---|---|---|---|---|---|"]
    for goal, tally in measured:
        figure, error = tally.figure()
        met = "" if goal.low is None and goal.high is None else "yes" if _met(goal, figure) else "**no**"
        lines.append(
            f"| {goal.what} | {_bounds(goal)} | {100 * figure:.1f} % | {100 * error:.1f} | {met} "
            f"| {len(tally.events)} |"
        )
    return "\n".join(lines)


def _met(goal: Goal, figure: float) -> bool:
    return (goal.low is None or figure >= goal.low) and (goal.high is None or figure <= goal.high)


def _bounds(goal: Goal) -> str:
    low = None if goal.low is None else f"{100 * goal.low:g}"
    high = None if goal.high is None else f"{100 * goal.high:g}"
    if low and high:
        return f"{low}–{high} %"
    return f"≥ {low} %" if low else f"≤ {high} %" if high else "shown"


def main() -> None:
    """Print the table of goals."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--studies", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=20261124)
    given = parser.parse_args()
    text = table(measure(given.studies, given.seed))
    Console(soft_wrap=True, markup=False, highlight=False).print(text)


if __name__ == "__main__":
    main()
