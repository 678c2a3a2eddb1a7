"""Simulated tuned machines: whether what is told of gain, watts and work for a joule holds.

`python -m validation.gains [--pairs N]` prints a markdown table. Each pair is one build at stock and tuned,
run in turns over five tests, a boot for each of five rounds. Rates scatter by 1 % from run to run and by
0.6 % from boot to boot, watts by 1 % and 0.5 %. How much of the clock's rise a test makes rate of differs
from test to test, and so do watts at stock and what is added to them, which is no fixed share of them.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import fmean

import numpy as np

from evenhand.findings.compare import compare_study
from evenhand.findings.finding import Cell, Index, Observation
from evenhand.findings.tuned import added_watts, work_per_joule
from evenhand.records.studies import Study
from evenhand.stats.spread import Floats
from evenhand.tuning.bands import Band

TUNED, STOCK = "tuned", "stock"
TESTS = tuple(f"test{n}" for n in range(5))
ROUNDS = 5
STUDY = Study(key="s", title="S", setups=(TUNED, STOCK), tests=TESTS)
RUN_SD, BOOT_SD, WATT_SD, WATT_BOOT_SD = 0.010, 0.006, 0.010, 0.005


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """Logs of gains by test, watts at stock, and those on top, each of shape (tests,)."""

    gains: Floats
    stock_w: Floats
    added_w: Floats


def truth(rng: np.random.Generator) -> Truth:
    """One tuned machine."""
    rise = np.log(1 + rng.uniform(0.02, 0.12))
    many = len(TESTS)
    return Truth(
        gains=rise * rng.uniform(0.0, 1.0, many), stock_w=rng.uniform(120.0, 300.0, many),
        added_w=rng.uniform(0.0, 30.0) + rng.uniform(-4.0, 4.0, many),
    )  # fmt: skip


def cells(rng: np.random.Generator, logs: Floats, *, sds: tuple[float, float], better: str) -> Iterator[Cell]:
    """Runs of both; `logs` (tests, 2) are the true logs of tuned and stock."""
    run_sd, boot_sd = sds
    boots = boot_sd * rng.standard_normal((2, ROUNDS))
    for k, test in enumerate(TESTS):
        for side, setup in enumerate((TUNED, STOCK)):
            read = logs[k, side] + boots[side] + run_sd * rng.standard_normal(ROUNDS)
            seen = tuple(
                Observation(
                    run=f"{setup}{test}{n}", value=float(np.exp(value)), boot=f"{setup}{n}",
                    order=100 * n + 2 * k + (side if n % 2 else 1 - side),
                )
                for n, value in enumerate(read)
            )  # fmt: skip
            yield Cell(test=test, setup=setup, metric="m", better=better, observations=seen)


def index_of(made: Sequence[Cell], weights: Mapping[str, float] | None = None) -> Index:
    """What is said of all tests."""
    return compare_study(made, study=replace(STUDY, weights=weights or {})).indexes[0]


def watts_on_top(made: Sequence[Cell]) -> Band:
    """As it is told: the difference of means, with the error of a ratio that is weighed by watts."""
    tuned, stock = (
        {c.test: fmean(seen.value for seen in c.observations) for c in made if c.setup == setup}
        for setup in (TUNED, STOCK)
    )
    over = index_of(made, {test: tuned[test] + stock[test] for test in TESTS})
    added = added_watts(over, fmean(stock.values()), fmean(tuned.values()))
    assert isinstance(added, Band)
    return added


def tried(rng: np.random.Generator) -> Iterator[tuple[str, bool, float]]:
    """One pair: for each number whether its band holds the truth, and half its width."""
    true = truth(rng)
    gains = np.column_stack([true.gains, np.zeros(len(TESTS))])
    gain = index_of(list(cells(rng, gains, sds=(RUN_SD, BOOT_SD), better="higher")))
    drawn = np.log(np.column_stack([true.stock_w + true.added_w, true.stock_w]))
    read = list(cells(rng, drawn, sds=(WATT_SD, WATT_BOOT_SD), better="lower"))
    work = float(np.exp(true.gains.mean() - (drawn[:, 0] - drawn[:, 1]).mean()))
    of_gain = Band(value=gain.ratio, low=gain.low or 0.0, high=gain.high or np.inf)
    yield "gain on average", _holds(of_gain, float(np.exp(true.gains.mean()))), 100 * of_gain.half
    added = watts_on_top(read)
    yield "watts on top", _holds(added, float(true.added_w.mean())), added.half
    per_joule = work_per_joule(gain, index_of(read))
    assert per_joule is not None
    yield "work for a joule", _holds(per_joule, work), 100 * per_joule.half


def _holds(band: Band, value: float) -> bool:
    return band.low <= value <= band.high


def main() -> None:
    """Prints the shares of pairs whose band holds the truth, and how wide bands are."""
    parser = argparse.ArgumentParser(description="Coverage of what is told of tuned machines.")
    parser.add_argument("--pairs", type=int, default=500)
    pairs = parser.parse_args().pairs
    told = [each for n in range(pairs) for each in tried(np.random.default_rng([20261129, n]))]
    print(f"| of {pairs} pairs | band holds | half its width |\n|---|---|---|")
    for name in dict.fromkeys(each[0] for each in told):
        own = [each for each in told if each[0] == name]
        holds, half = np.mean([each[1] for each in own]), np.mean([each[2] for each in own])
        print(f"| {name} | {100 * holds:.1f} % | {half:.2f} |")


if __name__ == "__main__":
    main()
