"""Simulated swap designs, random designs and driver changes of known truth, for `validation.causes`."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import product

import numpy as np

from evenhand.findings.bridges import Period
from evenhand.findings.causes import Bench
from evenhand.findings.finding import Cell, Observation
from evenhand.findings.machines import Machine
from evenhand.findings.scaling import Point
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.stats.spread import Floats

MARGIN = 0.03
KINDS = ("processor", "graphics", "board", "memory")


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """How swap studies are drawn; sds are of logs.

    `levels`: choices of processor and of graphics, all pairs measured but those in `missing`. Each of `boots`
    boots of a setup holds `runs_a_boot` runs of every test, all setups in turns. Run sd of a test: `run_sd` ×
    e^N(0, `sd_spread`). Effects of sd `effect`, interactions of sd `interaction`. `boot_sd` is shared by all
    runs of a boot, in every test. `lost` takes a run out of the first setup in every test.
    """

    tests: int = 9
    boots: int = 3
    runs_a_boot: int = 1
    levels: tuple[int, int] = (2, 2)
    missing: tuple[tuple[int, int], ...] = ()
    run_sd: float = 0.01
    sd_spread: float = 0.35
    boot_sd: float = 0.0
    effect: float = 0.05
    interaction: float = 0.02
    lost: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Swapped:
    """One study: its bench, and the true log rate of every setup in every test."""

    study: Study
    bench: Bench
    truth: Mapping[tuple[str, str], float]


def swapped(world: World, rng: np.random.Generator) -> Swapped:
    """One swap study drawn from a world."""
    tests = [f"test-{t}" for t in range(world.tests)]
    pairs = [p for p in product(range(world.levels[0]), range(world.levels[1])) if p not in world.missing]
    machines = tuple(machine(f"p{p}g{g}", {"processor": f"p{p}", "graphics": f"g{g}"}) for p, g in pairs)
    truth = _truth(world, tests, pairs, rng)
    sds = world.run_sd * np.exp(world.sd_spread * rng.standard_normal(world.tests))
    cells = []
    for place, made in enumerate(machines):
        shared = np.repeat(world.boot_sd * rng.standard_normal(world.boots), world.runs_a_boot)
        for t, test in enumerate(tests):
            logs = truth[made.key, test] + shared + sds[t] * rng.standard_normal(shared.size)
            keep = slice(1, None) if world.lost and place == 0 else slice(None)
            cells.append(cell(test, made.key, logs, place=place, runs_a_boot=world.runs_a_boot, keep=keep))
    study = Study(
        key="swaps", title="swaps", setups=tuple(m.key for m in machines), tests=tuple(tests), margin=MARGIN
    )
    return Swapped(study=study, bench=Bench(machines=machines, cells=tuple(cells)), truth=truth)


def _truth(
    world: World, tests: Sequence[str], pairs: Sequence[tuple[int, int]], rng: np.random.Generator
) -> dict[tuple[str, str], float]:
    truth: dict[tuple[str, str], float] = {}
    for test in tests:
        level = rng.uniform(math.log(5), math.log(200))
        p, g = (world.effect * rng.standard_normal(n) for n in world.levels)
        both = world.interaction * rng.standard_normal(world.levels)
        truth |= {(f"p{i}g{j}", test): float(level + p[i] + g[j] + both[i, j]) for i, j in pairs}
    return truth


def machine(key: str, parts: Mapping[str, str], *, driver: str = "1") -> Machine:
    """A setup of these parts by kind, under a driver."""
    on_record = {part: Part(key=part, kind=kind, name=part) for kind, part in parts.items()}
    build = Build(key=key, name=key, slot=1, parts=tuple(on_record))
    return Machine(
        setup=Setup(key=key, name=key, build=key, stamps={"driver": driver}), build=build, parts=on_record
    )


def cell(
    test: str,
    setup: str,
    logs: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    *,
    place: int = 0,
    runs_a_boot: int = 1,
    keep: slice = slice(None),
) -> Cell:
    """Runs of a setup, mirrored from boot to boot so that all setups take turns."""
    seen = []
    for i, log in enumerate(logs):
        boot = i // runs_a_boot
        turn = place if boot % 2 == 0 else 50 - place
        order = (boot * 100 + turn) * 100 + i % runs_a_boot
        seen.append(
            Observation(run=f"{setup}{test}{i}", value=math.exp(log), boot=f"{setup}{boot}", order=order)
        )
    return Cell(test=test, setup=setup, metric="rate", better="higher", observations=tuple(seen)[keep])


@dataclass(frozen=True, slots=True, kw_only=True)
class RandomDesign:
    """Setups of random parts, some under another driver, with one test; and their levels as drawn."""

    study: Study
    bench: Bench
    levels: Mapping[str, Mapping[str, str]]


def random_design(rng: np.random.Generator) -> RandomDesign:
    """Two to seven setups of two to four kinds of part with up to three choices, a third with two drivers."""
    kinds = KINDS[: rng.integers(2, 5)]
    drivers = 2 if rng.random() < 1 / 3 else 1
    levels = {}
    for s in range(rng.integers(2, 8)):
        parts = {kind: f"{kind}-{rng.integers(rng.integers(2, 4))}" for kind in kinds}
        levels[f"s{s}"] = {**parts, "driver": str(rng.integers(drivers))}
    machines = tuple(
        machine(key, {k: v for k, v in row.items() if k != "driver"}, driver=row["driver"])
        for key, row in levels.items()
    )
    cells = tuple(cell("test", key, np.array([0.0, 0.01]), place=i) for i, key in enumerate(levels))
    study = Study(key="random", title="random", setups=tuple(levels), tests=("test",), margin=MARGIN)
    return RandomDesign(study=study, bench=Bench(machines=machines, cells=cells), levels=levels)


def oracle(levels: Mapping[str, Mapping[str, str]], factor: str, low: str, high: str) -> bool:
    """Whether a change of level can be estimated, by another way than `stats.designs`.

    Treatment coding against each factor's first level; estimable where the rank of the rows, in fractions,
    does not grow when the contrast is put below them (Rouché and Capelli).
    """
    rows = list(levels.values())
    columns = [(f, v) for f in rows[0] for v in sorted({row[f] for row in rows})[1:]]
    matrix = [[Fraction(1), *(Fraction(row[f] == v) for f, v in columns)] for row in rows]
    contrast = [Fraction(0), *(Fraction((f == factor) * ((v == high) - (v == low))) for f, v in columns)]
    return _rank([*matrix, contrast]) == _rank(matrix)


def _rank(matrix: Sequence[Sequence[Fraction]]) -> int:
    rows, rank = [list(row) for row in matrix], 0
    for column in range(len(rows[0])):
        pivot = next((r for r in range(rank, len(rows)) if rows[r][column] != 0), None)
        if pivot is None:
            continue
        rows[rank], rows[pivot] = rows[pivot], rows[rank]
        for r in range(rank + 1, len(rows)):
            factor = rows[r][column] / rows[rank][column]
            rows[r] = [x - factor * y for x, y in zip(rows[r], rows[rank], strict=True)]
        rank += 1
    return rank


CLOCKS = ("processor clock", "graphics clock")


def clocked(betas: tuple[float, float], *, runs: int, rng: np.random.Generator) -> list[Point]:
    """One build in nine tests at four pairs of clocks, 10 % apart: run sd 1 % × e^N(0, .35), all in turns."""
    points = []
    for t in range(9):
        sd = 0.01 * math.exp(0.35 * rng.standard_normal())
        for place, steps in enumerate(product((0.0, math.log(1.1)), repeat=2)):
            mean = 4.0 + sum(beta * step for beta, step in zip(betas, steps, strict=True))
            logs = mean + sd * rng.standard_normal(runs)
            settings = {name: 4000.0 * math.exp(step) for name, step in zip(CLOCKS, steps, strict=True)}
            made = cell(f"test-{t}", f"state-{place}", logs, place=place)
            points.append(Point(cell=made, settings=settings))
    return points


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A driver that shifts every test alike: the periods before and after, and the truth in logs.

    `lead` is plover over wren; wren was run before only, plover after only, the anchor in both. `sds` are the
    run-to-run spreads of the tests.
    """

    study: Study
    old: Period
    new: Period
    shift: float
    lead: float
    sds: Floats


def driver_change(rng: np.random.Generator, *, runs: int, tests: int = 9, boot_sd: float = 0.0) -> Change:
    """A 3 % shift by a driver over nine tests, run sd 1 % × e^N(0, .35), a boot a run."""
    shift, lead = math.log1p(0.03), math.log1p(0.05)
    keys = tuple(f"test-{t}" for t in range(tests))
    sds = 0.01 * np.exp(0.35 * rng.standard_normal(tests))
    periods = []
    for name, moved, setups in (("before", 0.0, {"anchor": 0.0, "wren": 0.1}),
                                ("after", shift, {"anchor": 0.0, "plover": 0.1 + lead})):  # fmt: skip
        cells = []
        for place, (setup, level) in enumerate(setups.items()):
            shared = boot_sd * rng.standard_normal(runs)
            for t, key in enumerate(keys):
                logs = 4.0 + level + moved + shared + sds[t] * rng.standard_normal(runs)
                cells.append(cell(key, setup, logs, place=place))
        periods.append(Period(name=name, cells=tuple(cells)))
    study = Study(
        key="drivers", title="drivers", setups=("anchor", "wren", "plover"), tests=keys, margin=MARGIN
    )
    return Change(study=study, old=periods[0], new=periods[1], shift=shift, lead=lead, sds=sds)
