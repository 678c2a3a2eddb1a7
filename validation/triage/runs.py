"""Good runs of a scene, the cells they make, and the company they are judged in."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.signal import lfilter

from evenhand.metrics.alignment import Alignment, part_of_run
from evenhand.traces.trace import SensorLog, Trace
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.learned import NOTHING, Learned
from evenhand.triage.lessons import learned_from, lesson_of
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.view import look
from validation.triage.lending import lent_by
from validation.triage.scenes import BEFORE_S, GRID_S, Flags, Floats, Scene, inside, log_uniform
from validation.triage.sensors import AS_USUAL, Sensed, Sensing, draw_sensors

Limiter = Callable[[Floats], Floats]
"""From all frame times as they would be, shape (n,), to those that are shown."""

ROOM = (22.0, 26.0)
STAMPS = {"driver": "41.2", "os": "9.1", "resolution": "2560x1440"}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Drawn(Candidate):
    """A run with the seed and the level it was drawn from, to be drawn again with one thing changed.

    `run_at_s` is where in its sensor log the run truly began.
    """

    seed: int
    level: float
    run_at_s: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Change:
    """What is different in a run that is drawn again; everything else stays as it was.

    `slower` adds to the log frame time at each second of the run (shape in, shape out). `offset_s` is how
    much later in the scene it begins, `noise` multiplies the noise from frame to frame, `scene` is what is
    shown instead. `hitches_s` are places of further hitches, `lift` multiplies the length of the take,
    `shown` turns frame times into those that are shown and logged, in place of a declared limiter.
    """

    slower: Callable[[Floats], Floats] | None = None
    offset_s: float = 0.0
    noise: float = 1.0
    scene: Scene | None = None
    hitches_s: tuple[float, ...] = ()
    lift: float = 1.0
    sensing: Sensing = AS_USUAL
    shown: Limiter | None = None


AS_IT_WAS = Change()


def draw_run(scene: Scene, name: str, rng: np.random.Generator, *, level: float = 0.0) -> Drawn:
    """One good run of a scene, `level` in logs of its rate."""
    return _drawn(scene, name, int(rng.integers(2**62)), level, AS_IT_WAS)


def again(scene: Scene, run: Candidate, change: Change) -> Drawn:
    """The same run with one thing changed: the same noise, hitches, length and level."""
    assert isinstance(run, Drawn)
    return _drawn(scene, run.id, run.seed, run.level, change)


def _drawn(scene: Scene, name: str, seed: int, level: float, change: Change) -> Drawn:
    rng = np.random.default_rng(seed)
    of_take, of_sensors, *of_frames = rng.spawn(6)
    length_s = scene.length_s * float(np.exp(scene.length_spread * np.clip(of_take.standard_normal(), -3, 3)))
    length_s = float(np.clip(length_s, 0.4 * scene.length_s, 1.5 * scene.length_s))
    room_c = float(of_take.uniform(22.6, 25.4))
    own = level + scene.spread * float(of_take.standard_normal())
    times = _times(scene, length_s * change.lift, own, of_frames, change)
    sensed = draw_sensors(length_s * change.lift, of_sensors, change.sensing) if scene.sensors else None
    part = _part(sensed, times)
    return Drawn(
        id=name,
        label=name,
        headline=_rate(times),
        trace=_trace(times, clock=scene.clock),
        sensors=part[0] if part else None,
        alignment=part[1] if part else None,
        stamps=STAMPS,
        ambient_c=room_c if scene.room else None,
        log_sha256=f"{seed:064x}",
        boot="boot 1",
        order=int(name[1:]) if name[1:].isdigit() else None,
        seed=seed,
        level=level,
        run_at_s=sensed.run_at_s if sensed else None,
    )


def _part(sensed: Sensed | None, times_ms: Floats) -> tuple[SensorLog, Alignment] | None:
    """The readings of the run, found in its sensor log as for any run."""
    if sensed is None:
        return None
    duration_s = float(times_ms.sum()) / 1000
    return part_of_run(sensed.log, times_ms, started_at=sensed.started_at, duration_s=duration_s)


def _times(
    scene: Scene, length_s: float, own: float, rngs: list[np.random.Generator], change: Change
) -> Floats:
    """Frame times in ms until the take is stopped; `own` is the log of its rate against the scene's.

    Each ingredient has a generator of its own, so that none changes with the number of frames.
    """
    of_course, of_noise, of_hitches, of_more = rngs
    seen = change.scene or scene
    sag = scene.sag * float(of_course.standard_normal())
    begins_s = scene.start_spread_s * float(of_course.uniform(-1, 1)) + change.offset_s
    course = seen.course + _drift(seen, of_course)
    grid_s = GRID_S * np.arange(course.size) - BEFORE_S

    def made(shown_s: Floats) -> Floats:
        added = np.interp(begins_s + _scene_s(scene, shown_s), grid_s, course)
        added += sag * (shown_s / scene.length_s - 0.5)
        if change.slower is not None:
            added += change.slower(shown_s)
        return np.asarray(np.exp(base + added), dtype=np.float64)

    most = int(2.5 * length_s * scene.fps * np.exp(max(0.0, own))) + 100
    base = np.log(1000 / scene.fps) - own + change.noise * _noise(scene, most, of_noise)
    shown = _limiter(scene, change, seed=int(of_more.integers(2**32)))
    begin_s = _followed(base, made, shown)
    times = made(begin_s)
    times = times + _hitches(scene, times, _scene_s(scene, begin_s) + begins_s, of_hitches)
    times = times + _longer(times, _struck(begin_s, np.array(change.hitches_s)), of_more)
    return np.round(_until(scene, shown(times), length_s), 4)


def _followed(base: Floats, made: Callable[[Floats], Floats], shown: Callable[[Floats], Floats]) -> Floats:
    """When each frame begins: the scene sets how long frames take, and they add up to where it is."""
    begin_s = np.zeros(base.size)
    for _ in range(5):
        times = shown(made(begin_s))
        begin_s = (np.cumsum(times) - times) / 1000
    return begin_s


def _limiter(scene: Scene, change: Change, *, seed: int) -> Limiter:
    """What becomes of frame times before they are logged."""
    if change.shown is not None:
        return change.shown
    return (lambda times: times) if scene.locked_fps is None else limiter(1000 / scene.locked_fps, seed=seed)


def limiter(line_ms: float, *, seed: int, jitter: float = 0.002, corrects: bool = True) -> Limiter:
    """No frame shorter than a line, missed by `jitter` of it and, if it corrects, made up for in the next."""

    def held(times: Floats) -> Floats:
        shake = line_ms * jitter * np.random.default_rng(seed).standard_normal(times.size)
        return np.where(
            times < line_ms, line_ms + (np.diff(shake, prepend=0.0) if corrects else shake), times
        )

    return held


def _until(scene: Scene, times: Floats, length_s: float) -> Floats:
    """The frames until the take ends: after so long, or after so many."""
    ends_s = _scene_s(scene, np.cumsum(times) / 1000)
    return times[: int(np.searchsorted(ends_s, length_s))]


def _scene_s(scene: Scene, own_s: Floats) -> Floats:
    """Seconds into the scene at each frame: they pass with the seconds of the run, or with its frames."""
    return np.arange(own_s.size) / scene.fps if scene.by_frames else own_s


def _noise(scene: Scene, n: int, rng: np.random.Generator) -> Floats:
    """AR(2) noise of the sd asked for, whatever its memory; and what goes round from frame to frame."""
    white = rng.standard_normal(n)
    if scene.pattern == "skewed":
        white = (rng.exponential(1.0, n) - 1.0) * 0.8 + 0.6 * white
    alpha, beta = scene.memory * (1 - scene.second), scene.second
    scale = np.sqrt((1 - beta**2) * (1 - scene.memory**2))
    noise = np.asarray(lfilter([1.0], [1.0, -alpha, -beta], scale * white), dtype=np.float64) * scene.noise
    return noise + np.where(np.arange(n) % 2, 0.06, 0.0) if scene.pattern == "alternating" else noise


def _drift(scene: Scene, rng: np.random.Generator) -> Floats:
    """How this take differs along the scene, not in level: smooth, with a memory of 2 to 8 s."""
    memory_s = float(rng.uniform(2, 8))
    rho = np.exp(-GRID_S / memory_s)
    white = rng.standard_normal(scene.course.size) * np.sqrt(1 - rho**2)
    white[0] /= np.sqrt(1 - rho**2)
    drift: Floats = scene.shape * np.asarray(lfilter([1.0], [1.0, -rho], white), dtype=np.float64)
    return drift - float(inside(drift, scene).mean())


def _longer(times: Floats, struck: Flags, rng: np.random.Generator) -> Floats:
    """What hitches add to each frame that is struck, ms: one to seven frames, at most 60 to 300 ms."""
    most_ms = rng.uniform(60.0, 300.0, times.size)
    return np.where(struck, np.minimum(times * rng.uniform(1.0, 7.0, times.size), most_ms), 0.0)


def _struck(ends_s: Floats, places_s: Floats) -> Flags:
    """The frames during which these moments fall; moments outside the run strike none."""
    struck = np.zeros(ends_s.size + 1, dtype=np.bool_)
    struck[np.searchsorted(ends_s, places_s[places_s >= ends_s[:1].sum()])] = True
    return struck[:-1]


def _hitches(scene: Scene, times: Floats, scene_s: Floats, rng: np.random.Generator) -> Floats:
    """What hitches add to each frame: by chance, and at places of the scene."""
    of_rate, of_places, of_chance, of_size = rng.spawn(4)
    shape = 1 / max(scene.hitch_excess, 0.001)
    rate = scene.hitches_a_second * float(of_rate.gamma(shape, 1 / shape))
    places_s = np.array(scene.hitch_places_s)
    places_s = places_s + 0.1 * of_places.standard_normal(places_s.size)
    places_s = places_s[of_places.random(places_s.size) < 0.9]
    by_chance = of_chance.random(times.size) < rate * times / 1000
    return _longer(times, by_chance | _struck(scene_s, places_s), of_size)


def _rate(times_ms: Floats) -> float:
    return 1000 * times_ms.size / float(times_ms.sum())


def _trace(times_ms: Floats, *, clock: bool) -> Trace:
    """Frame times and, in most logs, a clock beside them, a little off and in milliseconds."""
    if not clock:
        return Trace(frame_times_ms=times_ms)
    begins_s = (np.cumsum(times_ms) - times_ms) / 1000
    return Trace(frame_times_ms=times_ms, elapsed_s=np.round(begins_s * 1.00004, 3))


def with_frames(run: Candidate, times_ms: Floats, *, clock_s: Floats | None = None) -> Candidate:
    """The run with these frame times, a clock beside them where it had one, and the headline they make."""
    assert run.trace is not None
    made = _trace(times_ms, clock=run.trace.elapsed_s is not None)
    if clock_s is not None and run.trace.elapsed_s is not None:
        made = replace(made, elapsed_s=np.round(clock_s * 1.00004, 3))
    return replace(run, headline=_rate(times_ms), trace=made)


def frames(run: Candidate) -> Floats:
    """The run's frame times, to be changed."""
    assert run.trace is not None
    return run.trace.frame_times_ms.copy()


def draw_cell(
    scene: Scene, n: int, rng: np.random.Generator, setup: str = "a", level: float = 0.0
) -> tuple[Candidate, ...]:
    """N good runs of a scene on one setup."""
    return tuple(draw_run(scene, f"{setup}{i + 1}", rng, level=level) for i in range(n))


def elsewhere(scene: Scene, rng: np.random.Generator) -> Scene:
    """The same scene on another machine: flatter or steeper, with noise, hitches and spread of its own."""
    return replace(
        scene,
        course=scene.course * float(rng.uniform(0.6, 1.2)),
        noise=scene.noise * float(rng.uniform(0.7, 1.4)),
        memory=float(np.clip(scene.memory * rng.uniform(0.7, 1.2), 0, 0.9)),
        hitches_a_second=scene.hitches_a_second * log_uniform(rng, 0.5, 2),
        spread=scene.spread * float(rng.uniform(0.6, 1.5)),
    )


def company(scene: Scene, n: int, rng: np.random.Generator) -> Company:
    """Other setups, spreads of the study's other cells, the room it declares, and what the past taught."""
    peers = tuple(
        draw_cell(elsewhere(scene, rng), n, rng, setup=name, level=0.0 if scene.locked_fps else _step(rng))
        for name in "bc"[: scene.peers]
    )
    return Company(
        test=scene.test,
        peers=peers,
        ambient_c=ROOM if scene.room and rng.random() < 0.6 else None,
        study_spread=lent_by(scene.other_cells, n, rng),
        learned=_learned(scene, rng) if scene.learned else NOTHING,
    )


def _step(rng: np.random.Generator) -> float:
    """How much quicker another setup is, ln."""
    return float(rng.uniform(-0.4, 0.4))


def _learned(scene: Scene, rng: np.random.Generator) -> Learned:
    """What two to five earlier studies of this test have taught, of four runs each, all of them good."""
    cells = [draw_cell(scene, 4, rng, setup="e") for _ in range(int(rng.integers(2, 6)))]
    alone = Company(test=scene.test)
    return learned_from([lesson_of(look(cell, alone, DEFAULT)) for cell in cells], DEFAULT.learning)
