"""How often bridged intervals hold the truth, and how wide they are: ``python -m validation.bridges``.

One anchor is run before and after a driver moves every test by 3 %; wren is measured before only, plover
after only. Each study goes through `compare_study` and `verdicts` as a real one does. Widths are held against
the interval of somebody who knows every spread: 1.96 times the true error of the four cells. Prints a
markdown table.
"""

from __future__ import annotations

import argparse
import math
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from rich.console import Console

from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Cell, Finding, Index, Joint, Under
from evenhand.records.audiences import Audience, Property
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Test
from evenhand.stats.spread import Floats
from evenhand.verdicts.case import Case
from evenhand.verdicts.grounds import pair_grounds
from evenhand.verdicts.verdict import Verdict, verdicts
from validation.swaps import Change, driver_change

CHUNK = 100
LOW, HIGH = 0.93, 0.97
KNOWN = 1.959963984540054  # the normal quantile of somebody who knows every spread
OF_ONE, OF_ALL, OF_AUDIENCE = "a test", "the index", "a verdict, weights 1 : 2 : …"

Seen: TypeAlias = dict[str, tuple[float, float, float]]
"""By what an interval is of: how many hold the truth, how many there are, their widths over the known one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """Studies of one sort; `lost` sets the first run of wren's first test aside."""

    what: str
    runs: int
    tests: int = 9
    boot_sd: float = 0.0
    lost: bool = False


WORLDS = (
    World(what="n = 3", runs=3),
    World(what="n = 5", runs=5),
    World(what="n = 8", runs=8),
    World(what="n = 3, boots share 0.5 %", runs=3, boot_sd=0.005),
    World(what="n = 5, boots share 0.5 %", runs=5, boot_sd=0.005),
    World(what="n = 5, boots share 1 %", runs=5, boot_sd=0.01),
    World(what="n = 5, three tests", runs=5, tests=3),
    World(what="n = 5, a run set aside, boots share 0.5 %", runs=5, boot_sd=0.005, lost=True),
)


def crossed_cells(made: Change) -> list[Cell]:
    """Wren under the old driver, plover under the new one, and the anchor that leads from each to each."""
    cells = []
    for test in made.study.tests:
        old, new = (period.cell(test, "anchor") for period in (made.old, made.new))
        wren, plover = made.old.cell(test, "wren"), made.new.cell(test, "plover")
        assert old
        assert new
        assert wren
        assert plover
        there = Joint(machine="anchor", here="before", there="after", beside=old.observations,
                      across=new.observations)  # fmt: skip
        back = replace(there, here="after", there="before", beside=there.across, across=there.beside)
        sides = ((plover, "after", back), (wren, "before", there))
        cells += [
            replace(c, under=Under(machine=c.setup, names=(name,), changed=("driver",), joined=(joint,)))
            for c, name, joint in sides
        ]
    return cells


def count(world: World, rng: np.random.Generator) -> Seen:
    """One study: its findings, its index and an audience's verdict."""
    made = driver_change(rng, runs=world.runs, tests=world.tests, boot_sd=world.boot_sd)
    made = replace(made, study=replace(made.study, setups=("plover", "wren")))
    cells = crossed_cells(made)
    if world.lost:
        at = next(i for i, c in enumerate(cells) if c.setup == "wren")
        cells[at] = replace(cells[at], observations=cells[at].observations[1:])
    n = np.full(world.tests, 4.0 / world.runs)  # the sum of 1/n over the four cells
    n[0] += (1 / (world.runs - 1) - 1 / world.runs) if world.lost else 0.0
    found = compare_study(cells, study=made.study)
    alike, uneven = (w / w.sum() for w in (np.ones(world.tests), np.arange(1.0, world.tests + 1)))
    single = [_seen(f, made.lead, _known(row, made, world, n)) for f, row in zip(
        found.findings, np.eye(world.tests), strict=True)]  # fmt: skip
    (verdict,) = verdicts(_case(cells, made.study, uneven))
    return {
        OF_ONE: _added(single),
        OF_ALL: _seen(found.indexes[0], made.lead, _known(alike, made, world, n)),
        OF_AUDIENCE: _seen(verdict, made.lead, _known(uneven, made, world, n)),
    }


def _added(seen: Sequence[tuple[float, float, float]]) -> tuple[float, float, float]:
    held, there, wide = (math.fsum(column) for column in zip(*seen, strict=True))
    return held, there, wide


def _known(weights: Floats, made: Change, world: World, n: Floats) -> float:
    """Half the interval of somebody who knows every spread; boots share their error over all tests."""
    shared = 4.0 / world.runs * world.boot_sd**2 * float(weights.sum()) ** 2
    return KNOWN * math.sqrt(float((weights**2 * made.sds**2 * n).sum()) + shared)


def _seen(found: Finding | Index | Verdict, truth: float, known: float) -> tuple[float, float, float]:
    if found.low is None or found.high is None:
        return 0.0, 1.0, math.nan
    low, high = math.log(found.low), math.log(found.high)
    return float(low <= truth <= high), 1.0, (high - low) / (2 * known)


def _case(cells: list[Cell], study: Study, weights: Floats) -> Case:
    tests = tuple(
        Test(key=t, name=t, group="", measures=Measures.SCORE, metric="rate", unit="1/h",
             direction=Direction.HIGHER)
        for t in study.tests
    )  # fmt: skip
    audience = Audience(key="x", name="X", tests=dict(zip(study.tests, weights.tolist(), strict=True)))
    pairs = pair_grounds(cells, study=study, properties=frozenset({Property.SPEED}))
    return Case(audience=audience, study=study, tests=tests, pairs=pairs)


def run_chunk(number: int, chunk: int, seed: int) -> tuple[int, list[Seen]]:
    """Some studies of one world; the seed depends on their numbers alone."""
    rng = np.random.default_rng([seed, number, chunk])
    return number, [count(WORLDS[number], rng) for _ in range(CHUNK)]


def measure(studies: int, seed: int) -> list[list[Seen]]:
    """All worlds over at least so many studies each, on all processors."""
    tasks = [(w, c, seed) for w in range(len(WORLDS)) for c in range(math.ceil(studies / CHUNK))]
    found: list[list[Seen]] = [[] for _ in WORLDS]
    with ProcessPoolExecutor(os.cpu_count()) as pool:
        for number, seen in pool.map(run_chunk, *zip(*tasks, strict=True)):
            found[number] += seen
    return found


def figures(seen: list[Seen], what: str) -> tuple[float, float, float]:
    """Coverage, its standard error over studies, and the mean width over the known one."""
    held, there, wide = np.array([each[what] for each in seen]).T
    share = float(held.sum() / there.sum())
    error = float(np.sqrt(((held - share * there) ** 2).sum()) / there.sum())
    return share, error, float(wide.sum() / there.sum())


def table(found: list[list[Seen]]) -> Iterator[str]:
    """The figures as a markdown table."""
    head = "| studies | 95 % interval of | holds the truth | ± | met | width over the known one |"
    yield f"{head} studies counted |"
    yield "|---|---|---|---|---|---|---|"
    for world, seen in zip(WORLDS, found, strict=True):
        for what in (OF_ONE, OF_ALL, OF_AUDIENCE):
            share, error, wide = figures(seen, what)
            met = "yes" if LOW <= share <= HIGH else "**no**"
            yield (
                f"| {world.what} | {what} | {100 * share:.1f} % | {100 * error:.1f} | {met} | {wide:.2f} "
                f"| {len(seen)} |"
            )


def main() -> None:
    """Print the table."""
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--studies", type=int, default=2000)
    asked.add_argument("--seed", type=int, default=20261128)
    given = asked.parse_args()
    console = Console(soft_wrap=True, markup=False, highlight=False)
    for line in table(measure(given.studies, given.seed)):
        console.print(line)


if __name__ == "__main__":
    main()
