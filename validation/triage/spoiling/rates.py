"""Rates that a limiter or a screen holds."""

from __future__ import annotations

import numpy as np

from evenhand.triage.candidate import Candidate
from validation.triage.runs import Change, again, frames, with_frames
from validation.triage.scenes import Floats, Scene
from validation.triage.spoiling.ways import Rng, Single

SCREEN_RATES = (30, 48, 50, 60, 72, 75, 90, 100, 120, 144, 165, 180, 200, 240, 280, 300, 360)


def capped(lowest: float, highest: float, *, jitter: float = 0.0005, corrects: bool = True) -> Single:
    """A limiter that is active for between `lowest` and `highest` of the run's frames."""

    def change(run: Candidate, _scene: Scene, rng: Rng) -> Candidate:
        times = frames(run)
        line = float(np.quantile(times, rng.uniform(lowest, highest)))
        return with_frames(run, _limited(times, line, rng, jitter=jitter, corrects=corrects))

    return change


def _limited(times: Floats, line_ms: float, rng: Rng, *, jitter: float, corrects: bool) -> Floats:
    shake = line_ms * jitter * rng.standard_normal(times.size)
    held = line_ms + (np.diff(shake, prepend=shake[:1]) if corrects else shake)
    return np.where(times < line_ms, held, times).round(4)


def under_refresh(run: Candidate, _scene: Scene, rng: Rng) -> Candidate:
    """A limiter set 1 to 4 % under a screen's rate, holding 50 to 97 % of the frames; scaled to meet one."""
    times = frames(run)
    quantile = float(np.quantile(times, rng.uniform(0.5, 0.97)))
    rate = min(SCREEN_RATES, key=lambda hz: abs(np.log(hz * quantile / 1000))) * (1 - rng.uniform(0.01, 0.04))
    line = 1000 / rate
    return with_frames(run, _limited(times * line / quantile, line, rng, jitter=0.002, corrects=True))


def part_time(low: float, high: float) -> Single:
    """A limiter switched on for one stretch of so much of the run, holding nearly all of its frames."""

    def change(run: Candidate, _scene: Scene, rng: Rng) -> Candidate:
        times = frames(run)
        at = np.cumsum(times) / float(times.sum())
        share = float(rng.uniform(low, high))
        begins = float(rng.uniform(0, 1 - share))
        inside = (at >= begins) & (at <= begins + share)
        line = float(np.quantile(times[inside], rng.uniform(0.95, 1.0)))
        return with_frames(
            run, np.where(inside, _limited(times, line, rng, jitter=0.0005, corrects=True), times)
        )

    return change


def at_common_rate(*, jitter: float, corrects: bool) -> Single:
    """Held at one rate, the same in all runs, wherever the scene would run quicker."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        own = np.random.default_rng([int(rng.integers(2**32)), int(run.id[1:])])
        line = 1000 / (0.85 * scene.fps)
        return with_frames(run, _limited(frames(run), line, own, jitter=jitter, corrects=corrects))

    return change


def unlocked(run: Candidate, scene: Scene, _rng: Rng) -> Candidate:
    """The limiter that the test declares was off."""
    return again(scene, run, Change(unlocked=True))


def screened(*, queued: bool) -> Single:
    """Frames shown on multiples of the screen's period: each waits for the next one, or in a queue."""

    def change(run: Candidate, _scene: Scene, rng: Rng) -> Candidate:
        times = frames(run)
        period = 1000 / screen_rate(times, rng)
        if queued:
            due = np.ceil(np.cumsum(times) / period)
            order = np.arange(due.size)
            shown = np.maximum.accumulate(due - order) + order
            steps = np.diff(shown, prepend=0)
        else:
            steps = np.ceil(times / period)
        shake = float(rng.uniform(0.005, 0.06)) * period * rng.standard_normal(times.size)
        made = steps * period + np.diff(shake, prepend=shake[:1])
        ends_s, most_s = np.cumsum(made) / 1000, float(times.sum()) / 1000
        return with_frames(run, made[ends_s <= most_s].clip(min=0.2 * period).round(4))

    return change


def screen_rate(times_ms: Floats, rng: Rng) -> float:
    """A usual refresh rate at which both one count of periods and the next would be seen, if there is one."""

    def commonest(rate: float) -> float:
        counts = np.unique(np.ceil(times_ms * rate / 1000), return_counts=True)[1]
        return float(counts.max() / times_ms.size)

    fitting = [
        rate for rate in SCREEN_RATES if times_ms.min() * rate / 1000 > 0.15 and commonest(rate) < 0.93
    ]
    fitting = [rate for rate in fitting if np.median(times_ms) * rate / 1000 < 3.5]
    return float(rng.choice(fitting)) if fitting else min(SCREEN_RATES, key=commonest)
