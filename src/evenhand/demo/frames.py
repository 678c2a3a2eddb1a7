"""Frame times of a scripted scene: a course all runs share, noise of their own, a hitch now and then."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

NOISE_SD = 0.035  # of the log frame time
NOISE_MEMORY = 0.72  # correlation of one frame's noise with the next one's
HITCHES_PER_MINUTE = 1.5
CAP_JITTER_MS = 0.006


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """The course of a scene: log frame time against its mean, at evenly spaced moments of the run."""

    course: Floats


def scene(swing: float, rng: np.random.Generator) -> Scene:
    """A course that wanders smoothly within about ± `swing`, shape (600,)."""
    knots = rng.normal(0.0, 1.0, 15)
    rough = np.interp(np.linspace(0.0, 14.0, 600), np.arange(15.0), knots)
    padded = np.pad(rough, 20, mode="edge")
    course = np.convolve(padded, np.hanning(41) / np.hanning(41).sum(), mode="valid")
    course -= course.mean()
    return Scene(course=swing * course / np.abs(course).max())


def free_run(shown: Scene, rate: float, seconds: float, rng: np.random.Generator) -> Floats:
    """Frame times in ms, shape (n,), whose average rate is exactly `rate` frames a second."""
    count = round(rate * seconds * (1 + rng.normal(0.0, 0.004)))
    course = _by_frame(shown, count)
    times = np.exp(course + _noise(count, rng))
    times[_hitches(count, seconds, rng)] *= rng.uniform(3.2, 4.5)
    return _with_rate(times, rate)


def capped_run(free: Floats, rate: float, rng: np.random.Generator) -> Floats:
    """The same run held at `rate`: no frame is quicker than the cap but for jitter of 6 µs."""
    held = np.maximum(free, 1000.0 / rate) + rng.normal(0.0, CAP_JITTER_MS, free.size)
    count = round(free.size * free.sum() / held.sum())
    return _with_rate(held[:count], rate)


def _by_frame(shown: Scene, count: int) -> Floats:
    """The course at each frame's beginning: slow passages last longer and hold fewer frames a second."""
    frames = np.concatenate(([0.0], np.cumsum(np.exp(-shown.course))))
    moments = np.interp(np.linspace(0.0, frames[-1], count, endpoint=False), frames, np.arange(frames.size))
    return np.asarray(np.interp(moments, np.arange(shown.course.size), shown.course))


def _noise(count: int, rng: np.random.Generator) -> Floats:
    """Autoregressive noise of the first order, by its kernel cut where it has faded."""
    kernel = NOISE_MEMORY ** np.arange(32)
    white = rng.normal(0.0, NOISE_SD * np.sqrt(1 - NOISE_MEMORY**2), count + 31)
    return np.convolve(white, kernel, mode="valid")


def _hitches(count: int, seconds: float, rng: np.random.Generator) -> npt.NDArray[np.int64]:
    return rng.integers(0, count, rng.poisson(HITCHES_PER_MINUTE * seconds / 60.0))


def _with_rate(times: Floats, rate: float) -> Floats:
    return np.asarray(times * (1000.0 * times.size / rate / times.sum()))
