"""Tests as studies hold them: what all good runs of one test share, and how far they differ.

The ranges are meant to cover what people measure, the awkward included; none was chosen by what the
detectors do with it.

- **Rate** 15 to 300 frames a second, **length** 11 to 120 s, both even in logs: from heavy scenes on old
  machines to menus on new ones, from a short built-in scene to a long walk.
- **Course**: one scene in five stands still; the rest moves in smooth waves, in flat steps (rooms), or in
  cuts between shots, by up to a third and more of its frame time.
- **Noise** from frame to frame 0.5 to 6 % (still scenes 0.2 to 0.8 %), AR(1), in one of three AR(2), with
  memory up to 0.9; one in twelve has frames that alternate by 6 %, one in twelve a long slow tail.
- **Hitches** none or up to one a second, evenly in logs, but they never take more than 5 % of the time;
  they last one to seven frames, at most 60 to 300 ms. Their number scatters between takes up to half as
  much again as chance (dispersion 0 to 0.1); one scene in three has up to eight at places of its own.
- **Spread** of the level between runs 0.2 to 1.6 %; 4 to 8 % in one test of eight, which nobody can settle
  with few runs. Takes also sag against each other by up to 0.8 %, and two in five differ along the scene
  (people, weather) by 0.3 to 1.5 %, one in twelve by 2 to 6 %.
- **Length** of a take stopped by hand scatters by 0.8 %, its start by up to 0.4 s; one test in twelve has
  a free length (±30 %), one in twelve declares a rate and is held at it by a machine that can, and one in
  twelve goes by frames: its scene moves on with every frame and ends after so many (a free length too).
- **Company**: no, one or two other setups; none, a few or thirty other cells; in three of ten what
  two to five earlier studies taught, learned by the program itself from good runs.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from evenhand.records.tests import Direction, Measures, Test

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

GRID_S = 0.05
BEFORE_S = 15.0
"""How far the scene reaches beyond its start and its end: takes may begin early or late."""

LOCKS_FPS = (30.0, 60.0, 72.0, 90.0, 120.0, 144.0, 165.0)
KINDS = ("still", "waves", "steps", "cuts")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Scene:
    """What all runs of a test share, drawn once.

    `course`: shape (g,), what the scene adds to the log frame time at each `GRID_S` from `BEFORE_S` before
    its start. `noise` is the sd of one log frame time about it, `memory` (ρ at one frame) and `second` (the
    second AR coefficient) how it hangs together. `hitches_a_second` are Poisson, with variance over mean
    square `hitch_excess` between takes beyond that; `hitch_places_s` recur in nearly every take. `spread`,
    `sag` and `shape` are sds between takes: of the level, of last against first half-minute, along the scene.
    """

    kind: str
    fps: float
    length_s: float
    course: Floats
    noise: float
    memory: float
    second: float
    pattern: str
    hitches_a_second: float
    hitch_excess: float
    hitch_places_s: tuple[float, ...]
    spread: float
    sag: float
    shape: float
    length_spread: float
    start_spread_s: float
    locked_fps: float | None
    free_length: bool
    by_frames: bool
    sensors: bool
    clock: bool
    last_line_end: bool
    room: bool
    peers: int
    other_cells: int
    learned: bool

    @property
    def still(self) -> bool:
        """Whether nothing moves."""
        return self.kind == "still"

    @property
    def noisy(self) -> bool:
        """Whether takes differ so widely that no single run can be held for its number or its course."""
        return self.level_spread > 0.03 or self.shape > 0.018

    @property
    def level_spread(self) -> float:
        """The sd of the log rate between takes, with what the chance of hitches adds to it."""
        mean_s = mean_hitch_s(self.fps)
        squares = 1.3 * mean_s**2 * self.hitches_a_second * self.length_s
        return float(np.hypot(self.spread, np.sqrt(squares) / self.length_s))

    @property
    def test(self) -> Test:
        """What the study declares of it."""
        return Test(
            key="t",
            name="t",
            measures=Measures.FRAMES,
            metric="fps",
            unit="fps",
            direction=Direction.HIGHER,
            locked_fps=self.locked_fps,
            free_length=self.free_length,
        )

    @property
    def types(self) -> tuple[str, ...]:
        """The words under which its good runs are counted: every one that fits."""
        told = {
            self.kind: True,
            "noisy level": self.level_spread > 0.03,
            "takes differ along the scene": self.shape > 0,
            "alternating": self.pattern == "alternating",
            "skewed noise": self.pattern == "skewed",
            "hitches over 20 a minute": self.hitches_a_second > 1 / 3,
            "locked": self.locked_fps is not None,
            "free length": self.free_length,
            "goes by frames": self.by_frames,
            "under 40 fps": self.fps < 40,
            "under 20 s": self.length_s < 20,
            "with a sensor log": self.sensors,
            "with what the past taught": self.learned,
        }
        return tuple(name for name, fits in told.items() if fits)


def log_uniform(rng: np.random.Generator, low: float, high: float) -> float:
    """A number between these, even in logs."""
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def draw_spread(rng: np.random.Generator) -> float:
    """The run-to-run sd of the log level of one test."""
    return float(rng.uniform(0.04, 0.08) if rng.random() < 0.125 else rng.uniform(0.002, 0.016))


def draw_scene(rng: np.random.Generator) -> Scene:
    """A test as studies hold them: short or long, slow or quick, calm or noisy, moving or still."""
    kind = str(rng.choice(KINDS, p=[0.2, 0.4, 0.2, 0.2]))
    still = kind == "still"
    length_s = log_uniform(rng, 11, 120)
    locked = rng.random() < 1 / 12
    lock_fps = float(rng.choice(LOCKS_FPS))
    by_frames = not locked and bool(rng.random() < 1 / 12)
    free = bool(rng.random() < 1 / 12)
    fps, calm = log_uniform(rng, 15, 300), bool(rng.random() < 0.3)
    scene = Scene(
        kind=kind,
        fps=fps,
        length_s=length_s,
        course=draw_course(kind, length_s, rng),
        noise=log_uniform(rng, 0.002, 0.008) if still else log_uniform(rng, 0.005, 0.06),
        memory=float(rng.uniform(0, 0.3 if still else 0.9)),
        second=float(rng.uniform(-0.4, 0.3)) if rng.random() < 1 / 3 else 0.0,
        pattern=str(rng.choice(["", "alternating", "skewed"], p=[10 / 12, 1 / 12, 1 / 12])),
        hitches_a_second=0.0 if calm else log_uniform(rng, 0.005, min(1.0, 0.05 / mean_hitch_s(fps))),
        hitch_excess=float(rng.uniform(0, 0.1)),
        hitch_places_s=_places(length_s, rng),
        spread=draw_spread(rng),
        sag=float(rng.uniform(0, 0.008)),
        shape=_shape(rng),
        length_spread=0.0 if by_frames else float(rng.uniform(0.2, 0.4)) if free else 0.008,
        start_spread_s=0.0 if by_frames else float(rng.uniform(0, 0.4)),
        locked_fps=lock_fps if locked else None,
        free_length=free or by_frames,
        by_frames=by_frames,
        sensors=bool(rng.random() < 0.4),
        clock=bool(rng.random() < 0.75),
        last_line_end=bool(rng.random() < 0.5),
        room=bool(rng.random() < 0.5),
        peers=int(rng.choice([0, 1, 2], p=[0.3, 0.5, 0.2])),
        other_cells=int(rng.choice([0, 4, 14, 30])),
        learned=bool(rng.random() < 0.3),
    )
    return _within_reach(scene, rng) if locked else scene


def mean_hitch_s(fps: float) -> float:
    """How much time one hitch takes at this rate, on average: four frames, or what long ones are held to."""
    return min(4 / fps, 0.16)


def _within_reach(scene: Scene, rng: np.random.Generator) -> Scene:
    """The same scene on a machine that holds the declared rate: fast enough, and hitches lose under 1 %."""
    assert scene.locked_fps is not None
    scatter = 3.5 * (scene.noise + scene.spread + scene.shape) + 0.06
    needed = float(np.exp(scene.course.max() + scatter))
    return replace(
        scene,
        fps=scene.locked_fps * needed * float(rng.uniform(1.05, 1.5)),
        hitches_a_second=min(scene.hitches_a_second, 0.0025 * scene.locked_fps),
        hitch_places_s=scene.hitch_places_s[: int(0.0025 * scene.locked_fps * scene.length_s)],
    )


def _shape(rng: np.random.Generator) -> float:
    part = rng.random()
    if part < 1 / 12:
        return float(rng.uniform(0.02, 0.06))
    return float(rng.uniform(0.003, 0.015)) if part < 0.4 else 0.0


def _places(length_s: float, rng: np.random.Generator) -> tuple[float, ...]:
    places = int(rng.integers(1, 9)) if rng.random() < 1 / 3 else 0
    return tuple(sorted(float(at) for at in rng.uniform(0.5, length_s - 0.5, places)))


def draw_course(kind: str, length_s: float, rng: np.random.Generator) -> Floats:
    """What the scene adds to log frame times, on the grid: median 0 over the scene itself."""
    at_s = np.arange(-BEFORE_S, 1.6 * length_s + 2 * BEFORE_S, GRID_S)
    course = np.zeros(at_s.size)
    if kind == "waves":
        course += _waves(at_s, rng)
    elif kind == "steps":
        course += _levels(at_s, rng, dwell_s=(1, 8), sd=0.12)
    elif kind == "cuts":
        course += _levels(at_s, rng, dwell_s=(5, 20), sd=0.2) + _waves(at_s, rng)
    scene = (at_s >= 0) & (at_s <= length_s)
    return course - float(np.median(course[scene]))


def inside(course: Floats, scene: Scene) -> Floats:
    """The part of a course that belongs to the scene itself."""
    start = round(BEFORE_S / GRID_S)
    return course[start : start + round(scene.length_s / GRID_S)]


def _waves(at_s: Floats, rng: np.random.Generator) -> Floats:
    """Two to five waves of 2 to 40 s and 1 to 12 %."""
    count = int(rng.integers(2, 6))
    periods = np.exp(rng.uniform(np.log(2), np.log(40), count))
    phases, sizes = rng.uniform(0, 2 * np.pi, count), rng.uniform(0.01, 0.12, count)
    return np.asarray(np.sin(2 * np.pi * at_s[:, None] / periods + phases) @ sizes, dtype=np.float64)


def _levels(at_s: Floats, rng: np.random.Generator, *, dwell_s: tuple[float, float], sd: float) -> Floats:
    """Flat stretches, each at a level of its own."""
    most = int(np.ceil((at_s[-1] - at_s[0]) / dwell_s[0])) + 1
    ends = at_s[0] + np.cumsum(rng.uniform(*dwell_s, most))
    levels: Floats = sd * rng.standard_normal(most + 1)
    return levels[np.searchsorted(ends, at_s)]
