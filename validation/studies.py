"""Simulated studies of known truth, as cells that the real comparison takes."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from evenhand.findings.finding import Cell, Observation
from evenhand.records.studies import Study

MARGIN = 0.03


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """How studies are drawn: all sds are of logs.

    Run-to-run sd of a test: `run_sd` × e^N(0, `sd_spread`); `noisy` makes the first test's sd that many
    times `run_sd`. True effects: `effects` "none", "margin" (just at the margin, either sign), "mixed" (none
    in half of the tests, else 3 % and an exponential 4 % on top), "at 3 %" or "wide" (sd 5 %).
    `design`: "blocks" (a boot a run, in turns), "boots" (`runs_a_boot` runs in each of `runs` boots),
    "unplaced" (neither boot nor order on record), "one boot" (a boot a side, first all of one setup).
    `boot_sd` is the error shared by all runs of a boot; `gap` sets one run of the first test aside.
    """

    runs: int = 3
    tests: int = 9
    setups: int = 2
    run_sd: float = 0.01
    sd_spread: float = 0.35
    noisy: float | None = None
    effects: str = "wide"
    design: str = "blocks"
    boot_sd: float = 0.0
    runs_a_boot: int = 1
    weighted: bool = False
    gap: bool = False
    boot_allowance: float = 0.01
    block_sd: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Simulated:
    """One study with its cells and the truth: true log rates by setup and test, run sds by test."""

    study: Study
    cells: tuple[Cell, ...]
    truth: dict[tuple[str, str], float]
    sds: dict[str, float]
    logs: dict[tuple[str, str], tuple[float, ...]]


def simulate(world: World, rng: np.random.Generator) -> Simulated:
    """One study drawn from a world."""
    tests = [f"test-{i}" for i in range(world.tests)]
    setups = [f"setup-{i}" for i in range(world.setups)]
    sds = world.run_sd * np.exp(world.sd_spread * rng.standard_normal(world.tests))
    if world.noisy:
        sds[0] = world.noisy * world.run_sd
    level = rng.uniform(math.log(5), math.log(200), world.tests)
    blocks = world.block_sd * rng.standard_normal(world.runs)
    cells, truth, logs = [], {}, {}
    for s, setup in enumerate(setups):
        rates = level + (_effects(world, rng) if s else 0.0)
        boots = world.boot_sd * rng.standard_normal(world.runs if world.design != "one boot" else 1)
        shared = boots + (blocks if world.design == "blocks" else 0.0)
        for t, test in enumerate(tests):
            count = world.runs * world.runs_a_boot
            values = rates[t] + np.resize(np.repeat(shared, world.runs_a_boot), count)
            values = values + sds[t] * rng.standard_normal(count)
            seen = _observations(world, s, t, values)
            cells.append(_cell(test, setup, seen[:-1] if world.gap and s == 0 and t == 0 else seen))
            truth[setup, test] = float(rates[t])
            logs[setup, test] = tuple(float(v) for v in values)
    weights = {t: float(w) for t, w in zip(tests, rng.dirichlet(np.full(world.tests, 3.0)), strict=True)}
    study = Study(
        key="simulated", title="simulated", setups=tuple(setups), tests=tuple(tests), margin=MARGIN,
        boot_allowance=world.boot_allowance, weights=weights if world.weighted else {},
    )  # fmt: skip
    by_test = {t: float(sd) for t, sd in zip(tests, sds, strict=True)}
    return Simulated(study=study, cells=tuple(cells), truth=truth, sds=by_test, logs=logs)


def _effects(world: World, rng: np.random.Generator) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    sign = rng.choice([-1.0, 1.0], world.tests)
    if world.effects == "none":
        return np.zeros(world.tests)
    if world.effects == "margin":
        return sign * math.log1p(MARGIN)
    if world.effects == "at 3 %":
        return sign * math.log1p(0.03)
    if world.effects == "mixed":
        size = np.log1p(0.03 + rng.exponential(0.04, world.tests))
        return sign * size * (rng.random(world.tests) < 0.5)
    return 0.05 * rng.standard_normal(world.tests)


def _observations(
    world: World, setup: int, test: int, values: np.ndarray[tuple[int, ...], np.dtype[np.float64]]
) -> tuple[Observation, ...]:
    return tuple(
        Observation(
            run=f"{setup}.{test}.{i}",
            value=math.exp(v),
            boot=_boot(world, setup, i),
            order=_order(world, setup, test, i),
        )
        for i, v in enumerate(values)
    )


def _boot(world: World, setup: int, run: int) -> str | None:
    if world.design == "unplaced":
        return None
    return f"{setup}" if world.design == "one boot" else f"{setup}.{run // world.runs_a_boot}"


def _order(world: World, setup: int, test: int, run: int) -> int | None:
    """ABBA over boots; or one setup after the other."""
    if world.design == "unplaced":
        return None
    if world.design == "one boot":
        return (setup * 100 + run) * 100 + test
    boot = run // world.runs_a_boot
    turn = setup if boot % 2 == 0 else world.setups - 1 - setup
    return ((boot * 10 + turn) * 10 + run % world.runs_a_boot) * 100 + test


def _cell(test: str, setup: str, seen: tuple[Observation, ...]) -> Cell:
    return Cell(test=test, setup=setup, metric="rate", better="higher", observations=seen)
