"""Logs that are broken, copied, cut or mislabelled."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from evenhand.traces.flaws import SHORT_LAST_ROW
from evenhand.traces.trace import Flaw
from evenhand.triage.candidate import Candidate
from validation.triage.runs import STAMPS, Change, again, frames, with_frames
from validation.triage.scenes import Floats, Scene
from validation.triage.spoiling.ways import Cell, Rng, Single, Spoil


def in_unit(factor: float) -> Single:
    """Frame times written in another unit."""
    return lambda run, _scene, _rng: replace(with_frames(run, frames(run) * factor), headline=run.headline)


def with_bad_rows(run: Candidate, _scene: Scene, rng: Rng) -> Candidate:
    """Two rows that hold no possible frame time."""
    times = frames(run)
    times[rng.choice(times.size, size=2, replace=False)] = rng.choice([0.0, -3.0, np.nan])
    assert run.trace is not None
    return replace(run, trace=replace(run.trace, frame_times_ms=times))


def sampled(run: Candidate, _scene: Scene, rng: Rng) -> Candidate:
    """Every k-th frame logged."""
    times, step = frames(run), int(rng.integers(2, 12))
    clock = np.cumsum(times) / 1000
    return with_frames(run, times[::step], clock_s=clock[::step])


def doubled(run: Candidate, _scene: Scene, _rng: Rng) -> Candidate:
    """Every frame logged twice."""
    times = frames(run)
    return with_frames(run, np.repeat(times, 2), clock_s=np.repeat(np.cumsum(times) / 1000, 2))


def with_gap(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """A stretch of the log lost, the clock running on."""
    times = frames(run)
    clock = np.cumsum(times) / 1000
    gap_s = max(0.1, float(rng.uniform(0.006, 0.04)) * scene.length_s)
    start = float(rng.uniform(0.1, 0.8)) * clock[-1]
    keep = (clock < start) | (clock > start + gap_s)
    return with_frames(run, times[keep], clock_s=clock[keep])


def set_clock(run: Candidate, _scene: Scene, rng: Rng) -> Candidate:
    """The clock set back by a second or two in the middle."""
    times = frames(run)
    clock = np.cumsum(times) / 1000
    at = int(times.size * rng.uniform(0.2, 0.8))
    clock[at:] -= rng.uniform(0.5, 2)
    return with_frames(run, times, clock_s=clock)


def cut(run: Candidate, _scene: Scene, _rng: Rng) -> Candidate:
    """The last row cut."""
    return replace(run, flaws=(Flaw(kind=SHORT_LAST_ROW, detail="line 812", line=812),))


def trimmed_copy(_scene: Scene, cell: Cell, rng: Rng) -> Cell:
    """The last run again, trimmed by up to two seconds and renamed."""
    return (with_frames(cell[0], _trimmed(frames(cell[-1]), rng)), *cell[1:])


def resampled_copy(_scene: Scene, cell: Cell, rng: Rng) -> Cell:
    """The last run again, its frame times averaged in twos."""
    times = _trimmed(frames(cell[-1]), rng)
    pairs = times[: times.size // 2 * 2].reshape(-1, 2)
    return (with_frames(cell[0], np.repeat(pairs.mean(axis=1), 2)), *cell[1:])


def noised_copy(part: float) -> Spoil:
    """The last run again, with so much of its own frame noise added."""

    def spoil(scene: Scene, cell: Cell, rng: Rng) -> Cell:
        times = _trimmed(frames(cell[-1]), rng)
        noise = part * scene.noise * np.sqrt(1 - scene.memory**2) * rng.standard_normal(times.size)
        return (with_frames(cell[0], times * np.exp(noise)), *cell[1:])

    return spoil


def _trimmed(times: Floats, rng: Rng) -> Floats:
    ends_s = np.cumsum(times) / 1000
    gone_s = min(2.0, 0.25 * float(ends_s[-1]))
    start_s = float(rng.uniform(0, gone_s))
    kept: Floats = times[(ends_s > start_s) & (ends_s <= ends_s[-1] - gone_s + start_s)]
    return kept


def lasting(low: float, high: float) -> Single:
    """A take of so much of the usual length."""
    return lambda run, scene, rng: again(scene, run, Change(lift=float(rng.uniform(low, high))))


def stopped_after(low_s: float, high_s: float) -> Single:
    """A take that was stopped after so few seconds, whatever the scene lasts."""

    def single(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        return again(scene, run, Change(lift=float(rng.uniform(low_s, high_s)) / scene.length_s))

    return single


def stamped(**stamps: str) -> Single:
    """Other words in its stamps."""
    return lambda run, _scene, _rng: replace(run, stamps={**STAMPS, **stamps})


def warm_room(run: Candidate, _scene: Scene, rng: Rng) -> Candidate:
    """A room well above the siblings'."""
    return replace(run, ambient_c=float(rng.uniform(31, 36)))
