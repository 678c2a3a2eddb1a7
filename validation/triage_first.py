"""How often triage holds good runs, and how often it finds planted faults, on simulated cells of known truth.

    python -m validation.triage_first --cells 300 --seed 11

Frames are simulated as log frame times: a scene that all runs share, AR(1) noise from frame to frame,
hitches, and a level of each run's own. One cell in five shows a still scene with little noise, which is
what a held rate is most easily mistaken for; one in five has frames that alternate, noise with a long slow
tail, or a scene of flat steps; one in eight is a test that scatters by 4 to 8 %.
"""

from __future__ import annotations

import argparse
import time
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from scipy.signal import lfilter

from evenhand.records.faults import Fault, Severity
from evenhand.records.layouts import Role
from evenhand.records.tests import Direction, Measures, Test
from evenhand.traces.flaws import SHORT_LAST_ROW
from evenhand.traces.trace import Channel, Flaw, SensorLog, Trace
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.triage import triage_cell

Floats = npt.NDArray[np.float64]
Cell = tuple[Candidate, ...]
Change = Callable[[Candidate, "Scene", np.random.Generator], Candidate]
Plant = Callable[["Scene", Cell, np.random.Generator], Cell]

TEST = Test(key="t", name="t", measures=Measures.FRAMES, metric="fps", unit="fps", direction=Direction.HIGHER)
STAMPS = {"driver": "41.2", "os": "9.1", "resolution": "2560x1440"}
ROOM = (22.0, 26.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What all runs of a test share: rate, length, waves of the scene, noise, and spread between runs."""

    fps: float
    length_s: float
    waves: tuple[tuple[float, float, float], ...]
    noise: float
    memory: float
    hitches_a_minute: float
    spread: float
    pattern: str


def draw_scene(rng: np.random.Generator) -> Scene:
    """A test as studies hold them: short or long, slow or quick, calm or noisy, moving or still."""
    still, noisy = rng.random() < 0.2, rng.random() < 0.125
    waves = 0 if still else int(rng.integers(2, 6))
    return Scene(
        fps=float(np.exp(rng.uniform(np.log(25), np.log(280)))),
        length_s=float(rng.choice([11, 30, 60, 90])),
        waves=tuple(
            (float(rng.uniform(2, 30)), float(rng.uniform(0, 6.28)), float(rng.uniform(0.01, 0.12)))
            for _ in range(waves)
        ),
        noise=float(rng.uniform(0.002, 0.008) if still else rng.uniform(0.005, 0.06)),
        memory=float(rng.uniform(0, 0.3) if still else rng.uniform(0, 0.9)),
        hitches_a_minute=float(rng.uniform(0, 6)),
        spread=float(rng.uniform(0.04, 0.08) if noisy else rng.uniform(0.002, 0.016)),
        pattern=str(rng.choice(["", "alternating", "skewed", "steps"], p=[0.8, 0.07, 0.06, 0.07])),
    )


def pattern(scene: Scene, n: int, rng: np.random.Generator) -> Floats:
    """What a scene adds to the log frame times besides waves and noise."""
    if scene.pattern == "alternating":
        return np.where(np.arange(n) % 2, 0.06, 0.0)
    if scene.pattern == "skewed":
        return rng.exponential(scene.noise, n)
    if scene.pattern == "steps":
        return np.resize(np.repeat([0.0, 0.1, 0.02, 0.2, 0.0, 0.05], max(1, int(2 * scene.fps))), n)
    return np.zeros(n)


def draw_run(scene: Scene, name: str, rng: np.random.Generator, *, level: float = 0.0) -> Candidate:
    """One good run of a scene, `level` in logs of its rate."""
    length_s = scene.length_s * float(np.exp(0.008 * rng.standard_normal()))
    n = int(scene.fps * length_s * 1.6) + 50
    own = level + scene.spread * float(rng.standard_normal())
    white = rng.standard_normal(n) * scene.noise * np.sqrt(1 - scene.memory**2)
    base = (
        np.log(1000 / scene.fps) - own + lfilter([1.0], [1.0, -scene.memory], white) + pattern(scene, n, rng)
    )
    at_s = np.arange(n) / scene.fps
    for _ in range(3):
        times = np.exp(
            base + sum((a * np.sin(6.2832 * at_s / p + f) for p, f, a in scene.waves), np.zeros(n))
        )
        at_s = np.cumsum(times) / 1000
    hitch = rng.random(n) < scene.hitches_a_minute / 60 * times / 1000
    times[hitch] *= rng.uniform(2, 8, int(hitch.sum()))
    times = times[: int(np.searchsorted(np.cumsum(times) / 1000, length_s))]
    return with_frames(
        Candidate(
            id=name,
            label=name,
            headline=None,
            sensors=sensors(length_s, rng),
            stamps=STAMPS,
            ambient_c=float(rng.uniform(22.5, 25.5)),
        ),
        np.round(times, 4),
    )


def with_frames(run: Candidate, times_ms: Floats, *, clock_s: Floats | None = None) -> Candidate:
    """The run with these frame times, a clock beside them and the headline they make."""
    clock = np.cumsum(np.concatenate(([0.0], times_ms[:-1]))) / 1000 if clock_s is None else clock_s
    return replace(
        run,
        headline=1000 * times_ms.size / float(times_ms.sum()),
        trace=Trace(frame_times_ms=times_ms, elapsed_s=np.round(clock * 1.00004, 3)),
    )


def sensors(length_s: float, rng: np.random.Generator, *, falls_to: float = 1.0) -> SensorLog:
    """A clock that boosts for a moment, jumps by steps of 25 MHz, and may fall at two thirds of the run."""
    at_s = np.arange(0, max(length_s, 20.0), 0.5)
    clock = 4700 + 25.0 * rng.integers(-2, 3, at_s.size) + 150 * (at_s < 3)
    clock = clock * np.where(at_s > 0.62 * at_s[-1], falls_to, 1.0)
    load = np.clip(rng.normal(96, 3, at_s.size), 0, 100)
    return SensorLog(
        time_s=at_s,
        channels=(
            Channel(role=Role.CLOCK, about="processor", unit="MHz", values=np.round(clock)),
            Channel(role=Role.LOAD, about="processor", unit="%", values=load),
        ),
    )


def draw_cell(
    scene: Scene, n: int, rng: np.random.Generator, *, setup: str = "a", level: float = 0.0
) -> Cell:
    """N good runs."""
    return tuple(draw_run(scene, f"{setup}{i + 1}", rng, level=level) for i in range(n))


def frames(run: Candidate) -> Floats:
    """The run's frame times, to be changed."""
    assert run.trace is not None
    return run.trace.frame_times_ms.copy()


def company(scene: Scene, n: int, rng: np.random.Generator) -> Company:
    """One other setup, and the spreads of fourteen other cells of the study."""
    sds = np.where(rng.random(14) < 0.125, rng.uniform(0.04, 0.08, 14), rng.uniform(0.002, 0.016, 14))
    spreads = tuple((float(s**2 * rng.chisquare(n - 1) / (n - 1)), float(n - 1)) for s in sds)
    peer = draw_cell(scene, n, rng, setup="b", level=float(rng.uniform(-0.3, 0.3)))
    return Company(test=TEST, peers=(peer,), ambient_c=ROOM, study_spread=spreads)


# --- faults to plant: each returns the cell with its first run spoilt (or all of them)


def first(change: Change) -> Plant:
    """Spoil the first run."""
    return lambda scene, cell, rng: (change(cell[0], scene, rng), *cell[1:])


def every(change: Change) -> Plant:
    """Spoil every run alike; what is drawn is drawn once."""

    def plant(scene: Scene, cell: Cell, rng: np.random.Generator) -> Cell:
        seed = int(rng.integers(2**32))
        return tuple(change(run, scene, np.random.default_rng(seed)) for run in cell)

    return plant


def in_seconds(run: Candidate, _scene: Scene, _rng: np.random.Generator) -> Candidate:
    """Frame times written in seconds."""
    return replace(with_frames(run, frames(run) / 1000), headline=run.headline)


def with_zeros(run: Candidate, _scene: Scene, rng: np.random.Generator) -> Candidate:
    """Two rows that hold no possible frame time."""
    times = frames(run)
    times[rng.integers(times.size, size=2)] = rng.choice([0.0, -3.0, np.nan])
    assert run.trace is not None
    return replace(run, trace=replace(run.trace, frame_times_ms=times))


def sampled(run: Candidate, _scene: Scene, rng: np.random.Generator) -> Candidate:
    """Every k-th frame logged."""
    times = frames(run)
    step = int(rng.integers(2, 12))
    clock = np.cumsum(times) / 1000
    return with_frames(run, times[::step], clock_s=clock[::step])


def with_gap(run: Candidate, scene: Scene, rng: np.random.Generator) -> Candidate:
    """A stretch of the log lost, the clock running on."""
    times = frames(run)
    clock = np.cumsum(times) / 1000
    gap_s = max(0.1, float(rng.uniform(0.006, 0.04)) * scene.length_s)
    start = float(rng.uniform(0.1, 0.8)) * clock[-1]
    keep = (clock < start) | (clock > start + gap_s)
    return with_frames(run, times[keep], clock_s=clock[keep])


def cut(run: Candidate, _scene: Scene, _rng: np.random.Generator) -> Candidate:
    """The last row cut."""
    return replace(run, flaws=(Flaw(kind=SHORT_LAST_ROW, detail="line 812", line=812),))


def shortened(run: Candidate, _scene: Scene, rng: np.random.Generator) -> Candidate:
    """Stopped early."""
    times = frames(run)
    return with_frames(run, times[: int(times.size * rng.uniform(0.5, 0.9))])


def other_driver(run: Candidate, _scene: Scene, _rng: np.random.Generator) -> Candidate:
    """Another driver."""
    return replace(run, stamps={**STAMPS, "driver": "40.9"})


def other_resolution(run: Candidate, _scene: Scene, _rng: np.random.Generator) -> Candidate:
    """A lower resolution, said so by its stamp."""
    return replace(run, stamps={**STAMPS, "resolution": "1920x1080"})


def warm_room(run: Candidate, _scene: Scene, rng: np.random.Generator) -> Candidate:
    """A room above the declared range."""
    return replace(run, ambient_c=float(rng.uniform(26.1, 31)))


def throttled(run: Candidate, scene: Scene, rng: np.random.Generator) -> Candidate:
    """A clock that falls at two thirds of the run."""
    return replace(run, sensors=sensors(scene.length_s, rng, falls_to=float(rng.uniform(0.8, 0.97))))


def trimmed_copy(_scene: Scene, cell: Cell, rng: np.random.Generator) -> Cell:
    """The last run again, trimmed by two seconds somewhere and renamed."""
    times = frames(cell[-1])
    gone = int(min(2.0, float(times.sum()) / 4000) / float(times.sum()) * 1000 * times.size)
    start = int(rng.integers(0, gone + 1))
    return (with_frames(cell[0], times[start : times.size - gone + start]), *cell[1:])


def capped(lowest: float, highest: float, *, jitter: float = 0.0005, corrects: bool = True) -> Change:
    """A limiter that is active for between `lowest` and `highest` of the run's frames."""

    def change(run: Candidate, _scene: Scene, rng: np.random.Generator) -> Candidate:
        times = frames(run)
        line = float(np.quantile(times, rng.uniform(lowest, highest)))
        shake = line * jitter * rng.standard_normal(times.size)
        held = line + (np.diff(shake, prepend=shake[:1]) if corrects else shake)
        return with_frames(run, np.where(times < line, held, times).round(4))

    return change


def odd(lowest: float, highest: float) -> Change:
    """A run that is quicker or slower by so much."""

    def change(run: Candidate, _scene: Scene, rng: np.random.Generator) -> Candidate:
        shift = float(rng.uniform(lowest, highest)) * float(rng.choice([-1, 1]))
        return with_frames(run, frames(run) / (1 + shift))

    return change


def at_common_rate(run: Candidate, scene: Scene, _rng: np.random.Generator) -> Candidate:
    """Held at one rate, wherever the scene would run quicker."""
    return with_frames(run, np.maximum(frames(run), 1000 / (0.85 * scene.fps)).round(4))


def shaken(run: Candidate, scene: Scene, rng: np.random.Generator) -> Candidate:
    """A limiter that misses its line by 0.3 % and does not correct itself."""
    return capped(0.7, 1.0, jitter=0.003, corrects=False)(run, scene, rng)


ANY, MOVING, STILL = "any", "moving", "still"
PLANTS: tuple[tuple[str, str, Plant, str], ...] = (
    ("frame times in seconds", "wrong-units", first(in_seconds), ANY),
    ("the same, every run", "wrong-units", every(in_seconds), ANY),
    ("zero, negative, NaN", "bad-frame-times", first(with_zeros), ANY),
    ("every k-th frame logged", "not-frames", first(sampled), ANY),
    ("gap in the log, 0.6 to 4 %", "slipped-clock", first(with_gap), ANY),
    ("cut last row", "truncated", first(cut), ANY),
    ("10 to 50 % short", "length", first(shortened), ANY),
    ("other driver", "mixed-stamps", first(other_driver), ANY),
    ("other resolution", "mixed-stamps", first(other_resolution), ANY),
    ("copy trimmed by 2 s", "twin", trimmed_copy, ANY),
    ("warm room", "room", first(warm_room), ANY),
    ("clock falls 3 to 20 %", "throttling", first(throttled), ANY),
    ("the same, every run", "throttling", every(throttled), ANY),
    ("hard cap, all of the run", "rate-cap", first(capped(0.97, 1.0)), ANY),
    ("hard cap, 50 to 97 %", "rate-cap", first(capped(0.5, 0.97)), ANY),
    ("hard cap, 30 to 50 %", "rate-cap", first(capped(0.3, 0.5)), ANY),
    ("hard cap, every run, one rate", "rate-cap", every(at_common_rate), ANY),
    ("cap with 0.3 % jitter, moving", "rate-cap", first(shaken), MOVING),
    ("cap with 0.3 % jitter, still", "rate-cap", first(shaken), STILL),
    ("level off by 3 to 5 %", "odd-level", first(odd(0.03, 0.05)), ANY),
    ("level off by 5 to 7 %", "odd-level", first(odd(0.05, 0.07)), ANY),
    ("level off by 7 to 10 %", "odd-level", first(odd(0.07, 0.10)), ANY),
    ("level off by 10 to 15 %", "odd-level", first(odd(0.10, 0.15)), ANY),
)


def holds(faults: Sequence[Fault]) -> set[str]:
    """Kinds that keep the run out of a finding."""
    return {f.kind for f in faults if f.severity is not Severity.NOTE}


def good_cells(cells: int, n: int, rng: np.random.Generator) -> tuple[float, Counter[str], float]:
    """Share of good runs held, by which kinds, and milliseconds a run."""
    held, kinds, spent = 0, Counter[str](), 0.0
    for _ in range(cells):
        scene = draw_scene(rng)
        cell, around = draw_cell(scene, n, rng), company(scene, n, rng)
        started = time.perf_counter()
        found = triage_cell(cell, around)
        spent += time.perf_counter() - started
        for faults in found.values():
            kinds.update(holds(faults))
            held += bool(holds(faults))
    return held / (cells * n), kinds, 1000 * spent / (cells * n)


def wanted(scene: Scene, scenes: str) -> bool:
    """Whether faults are planted in this scene: its runs must be alike enough to hold one for its number."""
    fits = {ANY: True, MOVING: bool(scene.waves), STILL: not scene.waves}
    return scene.spread <= 0.03 and fits[scenes]


def recall(
    cells: int, n: int, planted: tuple[str, Plant, str], rng: np.random.Generator
) -> tuple[float, float]:
    """Share of spoilt first runs in which the kind is found, and of its good siblings that are held."""
    kind, plant, scenes = planted
    found_first, siblings_held = 0, 0
    for _ in range(cells):
        scene = draw_scene(rng)
        while not wanted(scene, scenes):
            scene = draw_scene(rng)
        cell = plant(scene, draw_cell(scene, n, rng), rng)
        found = triage_cell(cell, company(scene, n, rng))
        found_first += kind in holds(found[cell[0].id])
        siblings_held += sum(bool(holds(found[run.id])) for run in cell[1:])
    return found_first / cells, siblings_held / (cells * (n - 1))


def speed(rng: np.random.Generator) -> float:
    """Milliseconds a run for five siblings of 12,000 frames and two setups beside them."""
    scene = replace(draw_scene(rng), fps=200.0, length_s=60.0, spread=0.01)
    cell = draw_cell(scene, 5, rng)
    around = replace(company(scene, 5, rng), peers=tuple(draw_cell(scene, 5, rng, setup=s) for s in "bc"))
    triage_cell(cell, around)
    started = time.perf_counter()
    for _ in range(5):
        triage_cell(cell, around)
    return 1000 * (time.perf_counter() - started) / 25


def main() -> None:
    """Print the tables."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--cells", type=int, default=300)
    words.add_argument("--seed", type=int, default=11)
    asked = words.parse_args()
    rng = np.random.default_rng(asked.seed)
    print(f"seed {asked.seed}, {asked.cells} cells a line\n\ngood runs held")
    for n in (3, 5):
        part, kinds, _ = good_cells(asked.cells, n, rng)
        told = ", ".join(f"{kind} {count}" for kind, count in kinds.most_common()) or "none"
        print(f"  n = {n}: {100 * part:.2f} % of {asked.cells * n} runs ({told})")
    print("\nplanted in one run                      n = 3    n = 5   good siblings held at n = 5")
    for name, kind, plant, scenes in PLANTS:
        few, _ = recall(asked.cells // 3, 3, (kind, plant, scenes), rng)
        many, beside = recall(asked.cells // 3, 5, (kind, plant, scenes), rng)
        told = "all spoilt" if name.count("every run") else f"{100 * beside:.1f} %"
        print(f"  {name:<36} {100 * few:5.0f} % {100 * many:6.0f} %   {told:>10}", flush=True)
    print(f"\n{speed(rng):.1f} ms a run: five siblings of 12,000 frames, two setups beside them")


if __name__ == "__main__":
    main()
