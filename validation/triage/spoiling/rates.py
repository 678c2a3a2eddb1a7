"""Rates that a limiter or a screen holds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from evenhand.triage.candidate import Candidate
from validation.triage.runs import Change, again, frames, limiter
from validation.triage.scenes import Floats, Scene, inside
from validation.triage.spoiling.ways import Cell, Rng, Single

SCREEN_RATES = (30, 48, 50, 60, 72, 75, 90, 100, 120, 144, 165, 180, 200, 240, 280, 300, 360)


def capped(lowest: float, highest: float, *, jitter: float = 0.0005, corrects: bool = True) -> Single:
    """A limiter that would hold between `lowest` and `highest` of the run's frames."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        line = float(np.quantile(frames(run), rng.uniform(lowest, highest)))
        held = limiter(line, seed=_seed(rng, run), jitter=jitter, corrects=corrects)
        return again(scene, run, Change(shown=held))

    return change


def _seed(rng: Rng, run: Candidate) -> int:
    """A seed for what no two runs share, even where all are spoilt alike."""
    return int(np.random.default_rng([int(rng.integers(2**32)), int(run.id[1:])]).integers(2**32))


def under_refresh(scene: Scene, cell: Cell, rng: Rng) -> Cell:
    """A limiter 1 to 4 % under a screen's rate, holding 50 to 97 % of the frames.

    The whole cell is made a little quicker or slower, so that a screen's rate lies there.
    """
    line = float(np.quantile(frames(cell[0]), rng.uniform(0.5, 0.97)))
    below = 1 - float(rng.uniform(0.01, 0.04))
    rate = below * min(SCREEN_RATES, key=lambda hz: abs(np.log(below * hz * line / 1000)))
    moved = replace(scene, fps=scene.fps * rate * line / 1000)
    held = limiter(1000 / rate, seed=_seed(rng, cell[0]), jitter=0.002)
    return (again(moved, cell[0], Change(shown=held)), *(again(moved, run, Change()) for run in cell[1:]))


def common_line_ms(scene: Scene) -> float:
    """A line that all runs of a scene would mostly run past: 15 % slower than its median frame."""
    return 1000 / (0.85 * scene.fps)


def part_time(low: float, high: float, *, common: bool = False) -> Single:
    """A limiter switched on for one stretch of so much of the run, holding nearly all of its frames.

    A `common` one holds all runs at one rate.
    """

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        times = frames(run)
        ends_s, share = np.cumsum(times) / 1000, float(rng.uniform(low, high))
        begin_s = float(rng.uniform(0, 1 - share)) * float(ends_s[-1])
        end_s = begin_s + share * float(ends_s[-1])
        own = float(np.quantile(times[(ends_s >= begin_s) & (ends_s <= end_s)], rng.uniform(0.95, 1.0)))
        held = limiter(common_line_ms(scene) if common else own, seed=_seed(rng, run), jitter=0.0005)

        def shown(made: Floats) -> Floats:
            limited = held(made)
            before = np.searchsorted(np.cumsum(made) / 1000, begin_s)
            at_s = begin_s + (np.cumsum(limited) - limited[:before].sum()) / 1000
            on = (np.arange(made.size) >= before) & (at_s <= end_s)
            return np.where(on, limited, made)

        return again(scene, run, Change(shown=shown))

    return change


def at_common_rate(*, jitter: float, corrects: bool = True) -> Single:
    """Held at one rate, the same in all runs, wherever the scene would run quicker."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        held = limiter(common_line_ms(scene), seed=_seed(rng, run), jitter=jitter, corrects=corrects)
        return again(scene, run, Change(shown=held))

    return change


def unlocked(run: Candidate, scene: Scene, _rng: Rng) -> Candidate:
    """The limiter that the test declares was off."""
    return again(scene, run, Change(shown=lambda times: times))


def screened(*, queued: bool) -> Single:
    """Frames shown on multiples of the screen's period: each waits for the next one, or in a queue.

    Logs stamp them with an error of 0.5 to 6 % of the period.
    """

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        period = 1000 / float(rng.choice(screen_rates(scene)))
        error, seed = period * float(rng.uniform(0.005, 0.06)), _seed(rng, run)

        def shown(made: Floats) -> Floats:
            steps = _queued(made / period) if queued else np.ceil(made / period)
            shake = error * np.random.default_rng(seed).standard_normal(made.size)
            return np.maximum(period * steps + np.diff(shake, prepend=0.0), 0.2 * period)

        return again(scene, run, Change(shown=shown))

    return change


def _queued(periods: Floats) -> Floats:
    """Periods that each frame stays on, where the next is begun without waiting for this one to be shown."""
    due, order = np.ceil(np.cumsum(periods)), np.arange(periods.size)
    shown: Floats = np.maximum.accumulate(due - order) + order
    return np.diff(shown, prepend=0.0)


def screen_rates(scene: Scene) -> list[int]:
    """Usual refresh rates at which frames of this scene would stay on for one period here and two there.

    Under three and a half periods a frame, and no count of periods holding more than nine frames of ten.
    """
    spread = scene.noise * np.array([-1.5, -0.8, -0.25, 0.25, 0.8, 1.5])
    logs = inside(scene.course, scene)[:, None] + spread - np.log(scene.fps)
    seconds = np.exp(logs).ravel()
    return [
        rate
        for rate in SCREEN_RATES
        if np.median(seconds) * rate < 3.5 and _commonest(np.ceil(seconds * rate)) < 0.9
    ]


def _commonest(counts: Floats) -> float:
    return float(np.unique(counts, return_counts=True)[1].max() / counts.size)


def on_a_screen(scene: Scene) -> bool:
    """Whether a usual screen would show in the frames of this scene."""
    return scene.locked_fps is None and bool(screen_rates(scene))
