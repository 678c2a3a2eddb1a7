"""Simulated tuned machines: whether what is told of gain, watts and work for a joule holds.

`python -m validation.gains [--pairs N]` prints a markdown table. Each pair is one build at stock and tuned,
run in turns over five tests, a boot for each of five rounds. Rates scatter by 1 % from run to run and by
0.6 % from boot to boot, watts by 1 % and 0.5 %. How much of the clock's rise a test makes rate of differs
from test to test, and so do watts at stock and what is added to them, which is no fixed share of them. For
comparison: watts on top as the mean ratio times the mean of stock, which takes them for a fixed share.
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


def as_a_share(made: Sequence[Cell]) -> Band:
    """Watts on top as they are not told: the mean ratio, less 1, times the mean of stock."""
    less = index_of(made)  # how many times as little the tuned one draws
    stock = fmean(seen.value for cell in made if cell.setup == STOCK for seen in cell.observations)
    ends = (less.high or np.inf, less.ratio, less.low or 1e-9)
    low, value, high = (stock * (1 / each - 1) for each in ends)
    return Band(value=value, low=low, high=high)


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A number as it is told of a pair, and the truth, in its unit."""

    name: str
    band: Band
    truth: float

    @property
    def holds(self) -> bool:
        """Whether its band holds the truth."""
        return self.band.low <= self.truth <= self.band.high


def tried(rng: np.random.Generator) -> Iterator[Told]:
    """One pair: each number that is told of it."""
    true = truth(rng)
    gains = np.column_stack([true.gains, np.zeros(len(TESTS))])
    gain = index_of(list(cells(rng, gains, sds=(RUN_SD, BOOT_SD), better="higher")))
    drawn = np.log(np.column_stack([true.stock_w + true.added_w, true.stock_w]))
    read = list(cells(rng, drawn, sds=(WATT_SD, WATT_BOOT_SD), better="lower"))
    work = float(np.exp(true.gains.mean() - (drawn[:, 0] - drawn[:, 1]).mean()))
    of_gain = Band(value=gain.ratio, low=gain.low or 0.0, high=gain.high or np.inf)
    yield _told("gain on average, %", of_gain, float(np.exp(true.gains.mean())), scale=100)
    added = float(true.added_w.mean())
    yield _told("watts on top", watts_on_top(read), added)
    yield _told("watts on top, taken for a fixed share", as_a_share(read), added)
    per_joule = work_per_joule(gain, index_of(read))
    assert per_joule is not None
    yield _told("work for a joule, %", per_joule, work, scale=100)


def _told(name: str, band: Band, truth: float, *, scale: float = 1.0) -> Told:
    low, value, high = (scale * each for each in (band.low, band.value, band.high))
    return Told(name=name, band=Band(value=value, low=low, high=high), truth=scale * truth)


def main() -> None:
    """Prints the shares of pairs whose band holds the truth, and how wide bands are."""
    parser = argparse.ArgumentParser(description="Coverage of what is told of tuned machines.")
    parser.add_argument("--pairs", type=int, default=500)
    pairs = parser.parse_args().pairs
    told = [each for n in range(pairs) for each in tried(np.random.default_rng([20261129, n]))]
    print(f"| of {pairs} pairs | band holds | half its width | told less true |\n|---|---|---|---|")
    for name in dict.fromkeys(each.name for each in told):
        own = [each for each in told if each.name == name]
        holds, half = np.mean([each.holds for each in own]), np.mean([each.band.half for each in own])
        off = np.mean([each.band.value - each.truth for each in own])
        print(f"| {name} | {100 * holds:.1f} % | {half:.2f} | {off:+.2f} |")


if __name__ == "__main__":
    main()
