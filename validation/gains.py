"""Simulated tuned machines: whether what is told of gain, watts and work for a joule holds.

`python -m validation.gains [--pairs N]` prints a markdown table. Each pair is one build at stock and tuned,
run in turns over five tests, a boot for each of five rounds. Rates scatter by 1 % from run to run and by
0.6 % from boot to boot, watts by 1 % and 0.5 %. How much of the clock's rise a test makes rate of differs
from test to test, and so do watts at stock and what is added to them.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass

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
    """Logs of gains by test, watts at stock, and the ratio of watts, each of shape (tests,)."""

    gains: Floats
    stock_w: Floats
    ratios: Floats

    @property
    def added_w(self) -> float:
        """What the tuned one draws on top, on average of the tests."""
        return float((self.stock_w * (self.ratios - 1)).mean())


def truth(rng: np.random.Generator) -> Truth:
    """One tuned machine."""
    rise = np.log(1 + rng.uniform(0.02, 0.12))
    many = len(TESTS)
    return Truth(
        gains=rise * rng.uniform(0.0, 1.0, many), stock_w=rng.uniform(120.0, 300.0, many),
        ratios=1 + rng.uniform(0.0, 0.15) + rng.uniform(-0.02, 0.02, many),
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


def index_of(rng: np.random.Generator, logs: Floats, *, sds: tuple[float, float], better: str) -> Index:
    """What is said of all tests."""
    made = compare_study(list(cells(rng, logs, sds=sds, better=better)), study=STUDY)
    return made.indexes[0]


def tried(rng: np.random.Generator) -> Iterator[tuple[str, bool, float]]:
    """One pair: for each number whether its band holds the truth, and half its width."""
    true = truth(rng)
    gain = index_of(
        rng, np.column_stack([true.gains, np.zeros(len(TESTS))]), sds=(RUN_SD, BOOT_SD), better="higher"
    )
    drawn = np.log(np.column_stack([true.stock_w * true.ratios, true.stock_w]))
    watts = index_of(rng, drawn, sds=(WATT_SD, WATT_BOOT_SD), better="lower")
    work = float(np.exp(true.gains.mean() - np.log(true.ratios).mean()))
    of_gain = Band(value=gain.ratio, low=gain.low or 0.0, high=gain.high or np.inf)
    yield "gain on average", _holds(of_gain, float(np.exp(true.gains.mean()))), 100 * of_gain.half
    added = added_watts(watts, float(np.exp(drawn[:, 1]).mean()))
    assert isinstance(added, Band)
    yield "watts on top", _holds(added, true.added_w), added.half
    per_joule = work_per_joule(gain, watts)
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
