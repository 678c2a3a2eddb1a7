"""The peer: what a capable reviewer writes in an afternoon with pandas and scipy, logs to findings.

It keeps nothing, looks for no faults and shows no interval within a run unless asked for one.
"""

from __future__ import annotations

import itertools
import json
import re
import sys
import time
from pathlib import Path

import numpy as np
import pandas as pd
from scipy import stats

NAME = re.compile(r"test-(\d+)-build-(\d+)-run-(\d+)")


def main(folder: Path, *, replicates: int = 0) -> dict[str, float]:
    """Time read, metrics, within-run intervals (where `replicates` > 0) and findings, in seconds."""
    times: dict[str, float] = {}
    core = time.process_time()
    start = time.perf_counter()
    frames = read(folder)
    times["read"] = time.perf_counter() - start

    start = time.perf_counter()
    metrics = measure(frames)
    times["metrics"] = time.perf_counter() - start

    if replicates:
        start = time.perf_counter()
        within(frames, replicates)
        times["within"] = time.perf_counter() - start

    start = time.perf_counter()
    json.dumps(findings(metrics))
    times["findings"] = time.perf_counter() - start
    times["core seconds"] = time.process_time() - core
    return times


def read(folder: Path) -> pd.DataFrame:
    """Every log into one long table."""
    tables = []
    for path in sorted((folder / "logs").iterdir()):
        table = pd.read_csv(path)
        table["test"], table["build"], table["run"] = (int(n) for n in NAME.search(path.name).groups())  # type: ignore[union-attr]
        tables.append(table)
    return pd.concat(tables, ignore_index=True)


def measure(frames: pd.DataFrame) -> pd.DataFrame:
    """Average rate, three 1 % lows, hitches and pacing for each run."""
    return frames.groupby(["test", "build", "run"])["frame_ms"].apply(one_run).unstack()


def one_run(ms: pd.Series) -> pd.Series:
    """The same numbers as ours, written plainly."""
    median = ms.rolling(61, center=True, min_periods=1).median()
    slowest = ms.nlargest(int(np.ceil(len(ms) / 100)))
    by_time = ms.sort_values(ascending=False)
    hitch = (ms > 2.5 * median) & (ms > median + 8)
    steps = ms.diff().abs()
    return pd.Series(
        {
            "average": 1000 * len(ms) / ms.sum(),
            "low": 1000 / ms.quantile(0.99),
            "low_mean": 1000 / slowest.mean(),
            "low_time": 1000 / by_time[by_time.cumsum() >= 0.01 * ms.sum()].iloc[0],
            "minimum": 1000 / ms.max(),
            "hitches": hitch.sum() / ms.sum() * 60_000,
            "share": ms[hitch].sum() / ms.sum(),
            "over": ms[ms > 1000 / 60].sum() / ms.sum(),
            "pacing": steps.median(),
            "pacing_p99": steps.quantile(0.99),
        }
    )


def within(frames: pd.DataFrame, replicates: int) -> None:
    """A circular block bootstrap of average rate and 1 % low for each run, by resampling."""
    from arch.bootstrap import CircularBlockBootstrap

    for _, run in frames.groupby(["test", "build", "run"]):
        ms = run["frame_ms"].to_numpy()
        block = max(1, int(2000 / ms.mean()))
        resampler = CircularBlockBootstrap(block, ms, seed=1)
        resampler.conf_int(
            lambda x: np.array([1000 / x.mean(), 1000 / np.quantile(x, 0.99)]), replicates, "percentile"
        )


def findings(metrics: pd.DataFrame) -> list[dict[str, object]]:
    """Welch's test on log rates for every test and pair of builds, Holm by hand."""
    rows: list[dict[str, object]] = []
    for test in metrics.index.unique("test"):
        for a, b in itertools.combinations(metrics.index.unique("build"), 2):
            one = np.log(metrics.loc[(test, a), "average"])
            two = np.log(metrics.loc[(test, b), "average"])
            answer = stats.ttest_ind(one, two, equal_var=False)
            low, high = answer.confidence_interval()
            rows.append(
                {
                    "test": int(test),
                    "a": int(a),
                    "b": int(b),
                    "ratio": float(np.exp(one.mean() - two.mean())),
                    "low": float(np.exp(low)),
                    "high": float(np.exp(high)),
                    "p": float(answer.pvalue),
                }
            )
    running = 0.0
    for rank, row in enumerate(sorted(rows, key=lambda r: float(str(r["p"])))):
        running = max(running, min(1.0, (len(rows) - rank) * float(str(row["p"]))))
        row["p_holm"] = running
    return rows


if __name__ == "__main__":
    print(json.dumps(main(Path(sys.argv[1]), replicates=int(sys.argv[2]) if len(sys.argv) > 2 else 0)))
