"""Takes of one winding scene, begun where and slowed as a test asks: for kinds that look at the course."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt
from tests.triage.cells import ALONE, run

from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import CellView, look

Floats = npt.NDArray[np.float64]
Slower = Callable[[Floats], Floats]


def winding(at_s: Floats) -> Floats:
    """What the scene adds to log frame time."""
    return 0.12 * np.sin(at_s / 2.3) + 0.08 * np.sin(at_s / 0.9 + 1) + 0.1 * (np.floor(at_s / 7) % 2)


def elsewhere(at_s: Floats) -> Floats:
    """Another scene of the same test."""
    return 0.15 * np.sin(at_s / 1.7 + 2) + 0.1 * (np.floor(at_s / 4.4) % 3)


def scene_take(
    seed: int,
    *,
    begins_s: float = 0.0,
    seconds: float = 40.0,
    slower: Slower | None = None,
    scene: Slower = winding,
    noise: float = 0.02,
) -> Floats:
    """Frame times in ms of a take at about 100 frames a second, begun so far into the scene.

    `slower` adds to log frame time by second of the run.
    """
    rng = np.random.default_rng(seed)
    base = np.log(10.0) + noise * rng.standard_normal(round(150 * seconds))
    at_s = np.arange(base.size) / 100
    for _ in range(4):
        own = slower(at_s) if slower is not None else 0.0
        times = np.exp(base + scene(at_s + begins_s) + own)
        at_s = (np.cumsum(times) - times) / 1000
    return times[at_s < seconds]


def window(from_s: float, to_s: float, size: float) -> Slower:
    """Slower between two moments."""
    return lambda at_s: np.where((at_s >= from_s) & (at_s < to_s), size, 0.0)


def with_pause(times: Floats, at_s: float, pause_ms: float) -> Floats:
    """One long frame put in."""
    return np.insert(times, int(np.searchsorted(np.cumsum(times) / 1000, at_s)), pause_ms)


def takes_beside(spoilt: Floats, n: int = 5) -> tuple[Candidate, ...]:
    """A take as run 1, and good ones beside it."""
    return (run("1", spoilt), *(run(str(i), scene_take(200 + i)) for i in range(2, n + 1)))


def seen(runs: tuple[Candidate, ...], company: Company = ALONE) -> CellView:
    """The cell before anything was found."""
    return look(runs, company, DEFAULT)
