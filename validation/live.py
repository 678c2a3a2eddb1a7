"""Live studies of known truth: looks declared in advance, settled tests dropped, minutes counted.

    python -m validation.live [--studies 2000] [--seed 20261128] [--only WORDS]

Each study is drawn with its longest number of runs and goes through `live_study`, which looks at the first so
many runs of each test and at no run past the look at which a test settled. Prints a markdown table.
"""

from __future__ import annotations

import argparse
import math
import os
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from rich.console import Console
from rich.progress import Progress

from evenhand.findings.finding import Cell, Outcome
from evenhand.findings.live import live_study
from evenhand.findings.live_finding import LiveFinding, LiveIndex
from evenhand.findings.peeking import Peeked, peek_study
from evenhand.plans.looks import CALIBRATED, Looks
from validation.goals import CHUNK, Tally
from validation.studies import Simulated, World, simulate

MINUTES = (3.0, 4.0, 12.0)  # one run: games and work, in turn over a study's tests
PEEKS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One world under one set of looks; without looks, peeked at after every run up to 12."""

    what: str
    world: World
    looks: Looks | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One line of the table: which count of which part, and the bound that it should keep."""

    what: str
    count: str
    part: Part
    low: float | None = None
    high: float | None = None


COUNTS = (
    "false ahead",
    "false ahead anywhere",
    "false level",
    "saved",
    "saved of plan",
    "unsettled",
    "runs",
    "wrong way",
)


def parts() -> Iterator[Part]:
    """Every world under every set of looks."""
    for looks in (*CALIBRATED, None):
        runs = looks.last if looks else PEEKS
        for sd in (0.01, 0.012, 0.015):
            yield Part(
                what=f"nothing differs, run sd {100 * sd:g} %", looks=looks, world=_world(runs, sd, "none")
            )
        shared = replace(_world(runs, 0.01, "none"), boot_sd=0.01)
        yield Part(what="nothing differs, boots share 1 %", looks=looks, world=shared)
        three = replace(_world(runs, 0.01, "none"), setups=3)
        yield Part(what="nothing differs, three setups", looks=looks, world=three)
        yield Part(what="at the margin, run sd 1 %", looks=looks, world=_world(runs, 0.01, "margin"))
        yield Part(what="at the margin, run sd 1.5 %", looks=looks, world=_world(runs, 0.015, "margin"))
        for sd in (0.01, 0.012):
            yield Part(
                what=f"effects of sd 5 %, run sd {100 * sd:g} %", looks=looks, world=_world(runs, sd, "wide")
            )
        yield Part(what="none or ≥ 3 %, run sd 1 %", looks=looks, world=_world(runs, 0.01, "mixed"))


def _world(runs: int, sd: float, effects: str) -> World:
    return World(runs=runs, run_sd=sd, effects=effects)


def figures(part: Part) -> Iterator[Figure]:
    """The lines of one part."""
    if "nothing differs" in part.what:
        yield Figure(what="studies with a false ahead", count="false ahead", part=part, high=0.06)
        yield Figure(what="… indexes counted too", count="false ahead anywhere", part=part)
    elif "margin" in part.what:
        yield Figure(what="false level, of tests", count="false level", part=part, high=0.05)
    else:
        yield Figure(what="minutes saved against equal allocation", count="saved", part=part, low=0.35)
        yield Figure(what="… against the whole plan", count="saved of plan", part=part)
        yield Figure(what="tests left unsettled", count="unsettled", part=part)
        yield Figure(what="runs of each, mean", count="runs", part=part)
        yield Figure(what="ahead the wrong way round, of tests", count="wrong way", part=part)


def counted(made: Simulated, part: Part) -> list[tuple[float, float]]:
    """Events and chances of one study, by COUNTS."""
    minutes = {test: MINUTES[i % len(MINUTES)] for i, test in enumerate(made.study.tests)}
    found, ever = _peeked(made) if part.looks is None else _looked(made, part.looks)
    used = sum(minutes[f.test] * f.n for f in found)
    a_run_each = sum(minutes[f.test] for f in found)
    equal, planned = max(f.n for f in found) * a_run_each, part.world.runs * a_run_each
    false = any(_claims(f) for f in found)
    return [
        (float(false), 1.0),
        (float(false or any(map(_claims, ever))), 1.0),
        (float(sum(f.outcome is Outcome.LEVEL for f in found)), float(len(found))),
        (equal - used, equal),
        (planned - used, planned),
        (float(sum(not f.settled for f in found)), float(len(found))),
        (float(sum(f.n for f in found)), float(len(found))),
        (float(sum(_wrong(f, made) for f in found)), float(len(found))),
    ]


Found: TypeAlias = Sequence[LiveFinding | Peeked]


def _looked(made: Simulated, looks: Looks) -> tuple[Found, Sequence[LiveIndex]]:
    """Findings in the end, and the indexes as they stood at each look, since a reader sees them there.

    With many looks only the index at the end is counted: it would cost more than all else.
    """
    ends = looks.at if len(looks.at) < 5 else looks.at[-1:]
    seen = [live_study(_first(made, look), study=made.study, looks=looks) for look in ends]
    return seen[-1].findings, [index for live in seen for index in live.indexes]


def _peeked(made: Simulated) -> tuple[Found, Sequence[LiveIndex]]:
    """Findings where one looks after every run and stops a test when it settles."""
    found: dict[tuple[str, str, str], Peeked] = {}
    for n in range(2, PEEKS + 1):
        for seen in peek_study(_first(made, n), study=made.study):
            place = (seen.test, seen.a, seen.b)
            if place not in found or not found[place].settled:
                found[place] = seen
    return list(found.values()), ()


def _first(made: Simulated, runs: int) -> list[Cell]:
    return [replace(cell, observations=cell.observations[:runs]) for cell in made.cells]


def _claims(said: LiveFinding | Peeked | LiveIndex) -> bool:
    return said.outcome in (Outcome.AHEAD, Outcome.BEHIND)


def _wrong(f: LiveFinding | Peeked, made: Simulated) -> bool:
    true = made.truth[f.a, f.test] - made.truth[f.b, f.test]
    return _claims(f) and (f.outcome is Outcome.AHEAD) != (true > 0)


def run_chunk(
    number: int, chunk: int, studies: int, seed: int
) -> tuple[int, list[list[tuple[float, float]]]]:
    """Count some studies of one part; it goes by number, as functions stay at home."""
    part = list(parts())[number]
    world = list(dict.fromkeys(p.world for p in parts())).index(part.world)
    rng = np.random.default_rng([seed, world, chunk])
    return number, [counted(simulate(part.world, rng), part) for _ in range(studies)]


def measure(studies: int, seed: int, only: str = "") -> list[tuple[Figure, Tally]]:
    """All figures over at least so many studies each, on all processors."""
    wanted = {i: part for i, part in enumerate(parts()) if only in f"{looks_words(part.looks)} {part.what}"}
    tallies = {i: [Tally() for _ in COUNTS] for i in wanted}
    tasks = [(i, chunk, CHUNK, seed) for i in wanted for chunk in range(math.ceil(studies / CHUNK))]
    with ProcessPoolExecutor(os.cpu_count()) as pool, Progress(console=Console(stderr=True)) as bar:
        shown = bar.add_task("live studies of known truth", total=len(tasks))
        for done in as_completed([pool.submit(run_chunk, *task) for task in tasks]):
            number, rows = done.result()
            for place, tally in enumerate(tallies[number]):
                tally.add([row[place] for row in rows])
            bar.advance(shown)
    return [(f, tallies[i][COUNTS.index(f.count)]) for i, part in wanted.items() for f in figures(part)]


def looks_words(looks: Looks | None) -> str:
    """A set of looks as the table names it."""
    if looks is None:
        return "e-value, after every run to 12"
    at = looks.at
    return f"every run {at[0]}–{at[-1]}" if len(at) > 4 else ", ".join(map(str, at))


def table(measured: Sequence[tuple[Figure, Tally]]) -> str:
    """The figures as a markdown table."""
    heads = ("looks at", "world", "what", "goal", "measured", "±", "met", "studies")
    lines = [f"| {' | '.join(heads)} |", f"{'|---' * len(heads)}|"]
    return "\n".join([*lines, *(_line(figure, tally) for figure, tally in measured)])


def _line(figure: Figure, tally: Tally) -> str:
    value, error = tally.figure()
    goal = "shown"
    if figure.low is not None:
        goal = f"≥ {100 * figure.low:g} %"
    elif figure.high is not None:
        goal = f"≤ {100 * figure.high:g} %"
    held = (figure.low is None or value >= figure.low) and (figure.high is None or value <= figure.high)
    met = "" if goal == "shown" else "yes" if held else "**no**"
    told = (f"{100 * value:.1f} %", f"{100 * error:.1f}")
    if figure.count == "runs":
        told = (f"{value:.2f}", f"{error:.2f}")
    place = (looks_words(figure.part.looks), figure.part.what, figure.what)
    return f"| {' | '.join((*place, goal, *told, met, str(len(tally.events))))} |"


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--studies", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=20261128)
    parser.add_argument("--only", default="", help="only parts whose name holds these words")
    given = parser.parse_args()
    text = table(measure(given.studies, given.seed, given.only))
    Console(soft_wrap=True, markup=False, highlight=False).print(text)


if __name__ == "__main__":
    main()
