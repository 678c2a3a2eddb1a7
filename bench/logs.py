"""The benchmark's study: 3 builds × 10 tests × 7 runs of about 12,230 frames, 16 columns, 288 MB of text.

Made from a fixed seed, written as a study folder that ``evenhand import`` takes like any other.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import numpy.typing as npt
import pyarrow as pa
import pyarrow.csv

Floats = npt.NDArray[np.float64]

BUILDS, TESTS, RUNS, FRAMES = 3, 10, 7, 12_230
HEADER = (
    "frame", "elapsed_s", "frame_ms", "cpu_ms", "gpu_ms", "wait_ms", "clock_cpu_mhz", "clock_gpu_mhz",
    "temp_cpu_c", "temp_gpu_c", "power_cpu_w", "power_gpu_w", "load_cpu_pct", "load_gpu_pct", "memory_mib",
    "bodies",
)  # fmt: skip


def main(folder: Path, *, seed: int = 20_260_101) -> int:
    """Write the folder unless it is there already; the raw bytes of its logs."""
    if not (folder / "study.toml").exists():
        (folder / "logs").mkdir(parents=True, exist_ok=True)
        rng = np.random.default_rng(seed)
        for test in range(TESTS):
            scene = scene_trend(rng)
            for build in range(BUILDS):
                rate = 55 + 9 * test + 6 * build * (1 if test % 2 else -1)
                for run in range(RUNS):
                    write_log(folder / log_name(test, build, run), frame_times(rng, rate, scene), rng)
        (folder / "study.toml").write_text(study_text(), encoding="utf-8")
    return sum(path.stat().st_size for path in (folder / "logs").iterdir())


def log_name(test: int, build: int, run: int) -> str:
    """Where a run's log lies in the folder."""
    return f"logs/test-{test}-build-{build}-run-{run}.csv"


def scene_trend(rng: np.random.Generator) -> Floats:
    """The scripted scene's slow changes of log frame time, shape (FRAMES,)."""
    knots = np.cumsum(rng.normal(0, 0.05, 24))
    trend = np.interp(np.linspace(0, 23, FRAMES), np.arange(24), knots)
    return np.asarray(trend - trend.mean(), float)


def frame_times(rng: np.random.Generator, rate: float, scene: Floats) -> Floats:
    """Frame times in ms, shape (FRAMES,): scene, correlated noise, a run-level error of 1.2 %, hitches."""
    noise = rng.normal(0, 0.03, FRAMES)
    for _ in range(3):
        noise[1:] = 0.5 * noise[:-1] + noise[1:]
    times = 1000 / rate * np.exp(scene + noise + rng.normal(0, 0.012))
    hitches = rng.random(FRAMES) < 0.0004
    return np.where(hitches, times * 3 + 12, times)


def write_log(path: Path, times: Floats, rng: np.random.Generator) -> None:
    """One log of 16 columns, as a logger that rounds to four decimals would write it."""
    shares = np.sort(rng.uniform(0.3, 0.95, (2, len(times))), axis=0)
    reading = (np.cumsum(times) // SENSOR_MS).astype(int)
    slow = {name: np.round(walk(rng, level, step), digits)[reading] for name, level, step, digits in SENSORS}
    columns = {
        "frame": np.arange(len(times)),
        "elapsed_s": np.round(np.concatenate([[0.0], np.cumsum(times)[:-1]]) / 1000, 6),
        "frame_ms": np.round(times, 4),
        "cpu_ms": np.round(times * shares[0], 4),
        "gpu_ms": np.round(times * shares[1], 4),
        "wait_ms": np.round(times * (1 - shares[1]), 4),
        **slow,
        "bodies": rng.integers(180, 5300, len(times)),
    }
    pyarrow.csv.write_csv(pa.table({name: columns[name] for name in HEADER}), path)


SENSOR_MS = 100  # a sensor is read ten times a second; a log repeats the reading until the next one

# name, level, step of the walk, digits written
SENSORS = (
    ("clock_cpu_mhz", 4600.0, 3.0, 3),
    ("clock_gpu_mhz", 2500.0, 3.0, 1),
    ("temp_cpu_c", 71.0, 0.05, 3),
    ("temp_gpu_c", 66.0, 0.05, 2),
    ("power_cpu_w", 95.0, 0.6, 4),
    ("power_gpu_w", 210.0, 0.9, 4),
    ("load_cpu_pct", 46.0, 0.4, 2),
    ("load_gpu_pct", 96.0, 0.05, 2),
    ("memory_mib", 9200.0, 2.0, 3),
)


def walk(rng: np.random.Generator, level: float, step: float) -> Floats:
    """A sensor that wanders around its level, shape (FRAMES,)."""
    return level + np.cumsum(rng.normal(0, step, FRAMES)) * 0.1 + rng.normal(0, step, FRAMES)


def study_text() -> str:
    """The folder's study.toml."""
    builds = [f'[[builds]]\nkey = "b{b}"\nname = "Build {b}"\nslot = {b + 1}\n' for b in range(BUILDS)]
    setups = [f'[[setups]]\nkey = "s{b}"\nname = "Build {b}"\nbuild = "b{b}"\n' for b in range(BUILDS)]
    tests = [
        f'[[tests]]\nkey = "t{t}"\nname = "Test {t}"\nmeasures = "frames"\n'
        'metric = "average_fps"\nunit = "fps"\ndirection = "higher"\n'
        for t in range(TESTS)
    ]
    runs = [
        f'[[runs]]\ntest = "t{t}"\nsetup = "s{b}"\nlog = "{log_name(t, b, r)}"\nboot = "{r // 2}"\n'
        f"order = {place_in_the_day(t, b, r)}\n"
        for t in range(TESTS)
        for b in range(BUILDS)
        for r in range(RUNS)
    ]
    head = (
        f'[study]\nkey = "bench"\ntitle = "Two hundred and ten logs"\nsetups = [{keys("s", BUILDS)}]\n'
        f"tests = [{keys('t', TESTS)}]\n"
    )
    layout = (
        '[[layouts]]\nname = "bench"\nkind = "frames"\n[layouts.columns]\n'
        'elapsed_time = { column = "elapsed_s", unit = "s" }\n'
        'frame_time = { column = "frame_ms", unit = "ms" }\n'
    )
    return "\n".join([head, layout, *builds, *setups, *tests, *runs])


def place_in_the_day(test: int, build: int, run: int) -> int:
    """A round of all tests for each run; within a test the builds take turns, backwards in every other round.

    >>> [place_in_the_day(0, build, 0) for build in range(BUILDS)], place_in_the_day(1, 0, 1)
    ([3, 2, 1], 34)
    """
    turn = build if run % 2 else BUILDS - 1 - build
    return (run * TESTS + test) * BUILDS + turn + 1


def keys(prefix: str, n: int) -> str:
    """The keys of `n` records, as a TOML list holds them."""
    return ", ".join(f'"{prefix}{i}"' for i in range(n))
