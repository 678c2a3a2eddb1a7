"""Faults to plant: each spoils the first run of a good cell (or all of them) in one way, and says which."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from evenhand.records.layouts import Role
from evenhand.traces.flaws import SHORT_LAST_ROW
from evenhand.traces.trace import Flaw
from evenhand.triage.candidate import Candidate
from validation.triage.runs import STAMPS, Change, again, frames, with_frames
from validation.triage.scenes import BEFORE_S, GRID_S, Floats, Scene, draw_course
from validation.triage.sensors import Sensing

Cell = tuple[Candidate, ...]
Rng = np.random.Generator
Spoil = Callable[[Scene, Cell, Rng], Cell]
Single = Callable[[Candidate, Scene, Rng], Candidate]

SCREEN_RATES = (30, 48, 50, 60, 72, 75, 90, 100, 120, 144, 165, 180, 200, 240, 280, 300, 360)


@dataclass(frozen=True, slots=True, kw_only=True)
class Plant:
    """One kind of fault at one size.

    `kind` is what triage should call it, `size` what is planted, in words. `fits` says in which scenes it
    can be planted at all; `shared` that every run has it. `told` marks kinds that are meant to be notes:
    they count as found where they are told, held or not.
    """

    name: str
    kind: str
    size: str
    spoil: Spoil
    fits: Callable[[Scene], bool]
    shared: bool = False
    told: bool = False

    @property
    def title(self) -> str:
        """Its name and size in one line."""
        return f"{self.name}, {self.size}" if self.size else self.name


# --- who can be spoilt


def free(scene: Scene) -> bool:
    """Any scene whose rate is not held."""
    return scene.locked_fps is None


def anywhere(_scene: Scene) -> bool:
    """Any scene."""
    return True


def clocked(scene: Scene) -> bool:
    """The log holds a clock beside its frame times."""
    return scene.clock


def sensed(scene: Scene) -> bool:
    """A sensor log lies beside, and the rate is free."""
    return scene.sensors and free(scene)


def unsensed(scene: Scene) -> bool:
    """No sensor log lies beside: the frames alone must tell."""
    return free(scene) and not scene.sensors


def moving(scene: Scene) -> bool:
    """The scene moves by 3 % and more, at a free rate."""
    return free(scene) and swing(scene.course) > 0.03


def still(scene: Scene) -> bool:
    """Nothing moves, at a free rate."""
    return free(scene) and scene.still


def long_enough(scene: Scene) -> bool:
    """At least 20 s at a free rate: seconds of trouble are then a part of the run, not the run."""
    return free(scene) and scene.length_s >= 20


def swing(course: Floats) -> float:
    """How far a course moves, sd in logs."""
    return float(np.std(course))


def first(change: Single) -> Spoil:
    """Spoil the first run."""
    return lambda scene, cell, rng: (change(cell[0], scene, rng), *cell[1:])


def every(change: Single) -> Spoil:
    """Spoil every run alike; what is drawn is drawn once."""

    def spoil(scene: Scene, cell: Cell, rng: Rng) -> Cell:
        seed = int(rng.integers(2**32))
        return tuple(change(run, scene, np.random.default_rng(seed)) for run in cell)

    return spoil


# --- what a log says of itself


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


# --- what a run says of itself


def lasting(low: float, high: float) -> Single:
    """A take of so much of the usual length."""
    return lambda run, scene, rng: again(scene, run, Change(lift=float(rng.uniform(low, high))))


def stamped(**stamps: str) -> Single:
    """Other words in its stamps."""
    return lambda run, _scene, _rng: replace(run, stamps={**STAMPS, **stamps})


def warm_room(run: Candidate, _scene: Scene, rng: Rng) -> Candidate:
    """A room well above the siblings'."""
    return replace(run, ambient_c=float(rng.uniform(31, 36)))


# --- held rates


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


# --- level and course


def odd(low: float, high: float) -> Single:
    """Quicker or slower throughout by so much."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        shift = float(np.log1p(rng.uniform(low, high)) * rng.choice([-1, 1]))
        return again(scene, run, Change(slower=lambda at_s: np.full(at_s.size, shift)))

    return change


def sagging(low: float, high: float) -> Single:
    """Slower in the last quarter than in the first by so much: from some moment on, along a smooth ramp."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        return again(scene, run, Change(slower=_ramp(scene, float(rng.uniform(low, high)), rng)))

    return change


def _ramp(scene: Scene, size: float, rng: Rng) -> Callable[[Floats], Floats]:
    """From nothing at a quarter of the run, or later, to all of it at three quarters, or earlier."""
    begins, ends = sorted(rng.uniform(0.25, 0.75, 2) * scene.length_s)
    return lambda at_s: np.log1p(size) * ((at_s - begins) / max(1.0, ends - begins)).clip(0, 1)


def throttled(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """A clock that falls by 3 to 20 % at 40 to 70 % of the run, and frames that follow it by half or more."""
    falls_to, share = float(rng.uniform(0.8, 0.97)), float(rng.uniform(0.4, 0.7))
    size = -np.log(falls_to) * float(rng.uniform(0.5, 1))
    slower = _step_at(share * scene.length_s, size)
    return again(
        scene, run, Change(slower=slower, sensing=Sensing(from_share=share, clock_falls_to=falls_to))
    )


def _step_at(begins_s: float, size: float) -> Callable[[Floats], Floats]:
    return lambda at_s: np.where(at_s >= begins_s, size, 0.0)


def slow_stretch(low_s: float, high_s: float) -> Single:
    """Loading: 3 to 8 s in which frames take 20 to 120 % longer, anywhere in the run."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        lasts_s = float(rng.uniform(low_s, high_s))
        begins_s = float(rng.uniform(0, scene.length_s - lasts_s - 1))
        size = float(np.log1p(rng.uniform(0.2, 1.2)))
        return again(scene, run, Change(slower=_window(begins_s, lasts_s, size)))

    return change


def _window(begins_s: float, lasts_s: float, size: float) -> Callable[[Floats], Floats]:
    return lambda at_s: np.where((at_s >= begins_s) & (at_s < begins_s + lasts_s), size, 0.0)


def bursts(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """Another program in bursts: two to six of 2 to 5 s, one in 10 s at most, frames 12 to 40 % longer."""
    most = max(2, int(scene.length_s / 10))
    count = int(rng.integers(2, min(6, most) + 1))
    begins = np.sort(rng.uniform(0, scene.length_s - 5, count))
    ends = begins + rng.uniform(2, 5, count)
    size = float(np.log1p(rng.uniform(0.12, 0.4)))

    def slower(at_s: Floats) -> Floats:
        inside = (at_s[:, None] >= begins) & (at_s[:, None] < ends)
        return np.where(inside.any(axis=1), size, 0.0)

    return again(scene, run, Change(slower=slower))


def late(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """The log begins 2 to 8 s later or earlier in the scene than the siblings', at most a third of it."""
    by_s = min(float(rng.uniform(2, 8)), scene.length_s / 3) * float(rng.choice([-1, 1]))
    return again(scene, run, Change(offset_s=by_s))


def elsewhere_in_the_game(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """Another scene of the same title, with the same average frame time."""
    while True:
        course = draw_course(str(rng.choice(["waves", "steps", "cuts"])), scene.length_s, rng)
        if swing(_inside(course, scene)) > 0.05:
            break
    course = course + np.mean(_inside(scene.course, scene)) - np.mean(_inside(course, scene))
    return again(scene, run, Change(scene=replace(scene, course=course)))


def _inside(course: Floats, scene: Scene) -> Floats:
    start = int(BEFORE_S / GRID_S)
    return course[start : start + int(scene.length_s / GRID_S)]


# --- frame by frame


def scattered(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """Two to four times the noise from frame to frame."""
    return again(scene, run, Change(noise=float(rng.uniform(2, 4))))


def hitching(fewest: int, most: int) -> Single:
    """So many further hitches, anywhere after the first second."""

    def change(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
        count = int(rng.integers(fewest, most + 1))
        places = tuple(float(at) for at in rng.uniform(1, 0.97 * scene.length_s, count))
        return again(scene, run, Change(hitches_s=places))

    return change


# --- sensors


def power_limited(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """Power held at 65 to 90 % of its usual, flat, from 25 to 60 % of the run on, the clock below for it."""
    held, share = float(rng.uniform(0.65, 0.9)), float(rng.uniform(0.25, 0.6))
    slower = _step_at(share * scene.length_s, -np.log(0.25 + 0.75 * held))
    return again(scene, run, Change(slower=slower, sensing=Sensing(from_share=share, power_held_to=held)))


def fan_stopped(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """A fan that stops at 20 to 50 % of the run, the temperature rising for it."""
    return again(scene, run, Change(sensing=Sensing(from_share=float(rng.uniform(0.2, 0.5)), fan_stops=True)))


def memory_filled(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """Memory that fills by 40 to 70 % of the run, and hitches from then on, one in 2 s."""
    share = float(rng.uniform(0.4, 0.7))
    places = np.arange(share * scene.length_s, 0.97 * scene.length_s, 2.0)
    sensing = Sensing(from_share=share, memory_fills=True)
    return again(scene, run, Change(hitches_s=tuple(places.tolist()), sensing=sensing))


def loaded_by_another(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """A process that takes 10 to 40 % from 20 to 50 % of the run to 70 to 100 %; frames 2 to 8 % longer."""
    share, until = float(rng.uniform(0.2, 0.5)), float(rng.uniform(0.7, 1))
    slower = _window(share * scene.length_s, (until - share) * scene.length_s, float(rng.uniform(0.02, 0.08)))
    sensing = Sensing(from_share=share, other_load_pct=float(rng.uniform(10, 40)), other_until=until)
    return again(scene, run, Change(slower=slower, sensing=sensing))


def frozen(run: Candidate, scene: Scene, _rng: Rng) -> Candidate:
    """A clock channel that repeats one reading."""
    return again(scene, run, Change(sensing=Sensing(frozen=Role.CLOCK)))


def other_zone(run: Candidate, scene: Scene, rng: Rng) -> Candidate:
    """A sensor log written in another time zone."""
    return again(scene, run, Change(sensing=Sensing(zone_h=float(rng.choice([-7, -1, 1, 2, 9])))))


def _has_room(scene: Scene) -> bool:
    return scene.room


def _with_line(scene: Scene) -> bool:
    return scene.locked_fps is not None


def _timed(scene: Scene) -> bool:
    return not scene.free_length


def _sensed_long(scene: Scene) -> bool:
    return sensed(scene) and scene.length_s >= 20


def _unsensed_long(scene: Scene) -> bool:
    return unsensed(scene) and scene.length_s >= 20


def _sensed(scene: Scene) -> bool:
    return scene.sensors


CAP, LEVEL, STRETCH = "rate-cap", "odd-level", "slow-stretch"


def _plant(name: str, kind: str, size: str, single: Single, fits: Callable[[Scene], bool] = free) -> Plant:
    return Plant(name=name, kind=kind, size=size, spoil=first(single), fits=fits)


def _shared(name: str, kind: str, single: Single, fits: Callable[[Scene], bool] = free) -> Plant:
    return Plant(name=name, kind=kind, size="every run", spoil=every(single), fits=fits, shared=True)


PLANTS: tuple[Plant, ...] = (
    _plant("frame times in seconds", "wrong-units", "", in_unit(1e-3)),
    _plant("frame times in microseconds", "wrong-units", "", in_unit(1e3)),
    _plant("zero, negative, unreadable", "bad-frame-times", "2 rows", with_bad_rows, anywhere),
    _plant("every k-th frame logged", "not-frames", "k = 2 to 11", sampled, clocked),
    _plant("frames logged twice", "not-frames", "", doubled, clocked),
    _plant("gap in the log", "slipped-clock", "0.6 to 4 %", with_gap, clocked),
    _plant("clock set back", "slipped-clock", "0.5 to 2 s", set_clock, clocked),
    _plant("cut last row", "truncated", "", cut, anywhere),
    Plant(name="copy", kind="twin", size="trimmed by 2 s", spoil=trimmed_copy, fits=free),
    Plant(name="copy", kind="twin", size="averaged in twos", spoil=resampled_copy, fits=free),
    Plant(name="copy", kind="twin", size="noised by 0.3", spoil=noised_copy(0.3), fits=free),
    Plant(name="copy", kind="twin", size="noised by 1", spoil=noised_copy(1.0), fits=free),
    _plant("short take", "length", "50 to 90 %", lasting(0.5, 0.9), _timed),
    _plant("long take", "length", "110 to 140 %", lasting(1.1, 1.4), _timed),
    _plant("other driver", "mixed-stamps", "", stamped(driver="40.9"), anywhere),
    _plant("other resolution", "mixed-stamps", "", stamped(resolution="1920x1080"), anywhere),
    _plant("warm room", "room", "31 to 36 °C", warm_room, _has_room),
    _plant("cap", CAP, "97 to 100 % of frames", capped(0.97, 1.0)),
    _plant("cap", CAP, "80 to 97 %", capped(0.8, 0.97)),
    _plant("cap", CAP, "50 to 80 %", capped(0.5, 0.8)),
    _plant("cap", CAP, "30 to 50 %", capped(0.3, 0.5)),
    _plant(
        "cap, jittered 0.3 %, moving",
        CAP,
        "70 to 100 %",
        capped(0.7, 1.0, jitter=0.003, corrects=False),
        moving,
    ),
    _plant(
        "cap, jittered 0.3 %, still",
        CAP,
        "70 to 100 %",
        capped(0.7, 1.0, jitter=0.003, corrects=False),
        still,
    ),
    _plant("cap under the screen's rate", CAP, "50 to 97 %", under_refresh),
    _plant("cap for a stretch", CAP, "30 to 50 % of the run", part_time(0.3, 0.5)),
    _plant("cap for a stretch", CAP, "50 to 80 %", part_time(0.5, 0.8)),
    _plant("cap for a stretch", CAP, "80 to 100 %", part_time(0.8, 1.0)),
    _plant("declared limiter off", "lock-missed", "", unlocked, _with_line),
    _plant("frames wait for the screen", "screen-steps", "", screened(queued=False)),
    _plant("frames queue for the screen", "screen-steps", "", screened(queued=True)),
    _plant("level off", LEVEL, "3 to 5 %", odd(0.03, 0.05)),
    _plant("level off", LEVEL, "5 to 7 %", odd(0.05, 0.07)),
    _plant("level off", LEVEL, "7 to 10 %", odd(0.07, 0.10)),
    _plant("level off", LEVEL, "10 to 15 %", odd(0.10, 0.15)),
    _plant("sag without sensors", "slow-sag", "3 to 5 %", sagging(0.03, 0.05), _unsensed_long),
    _plant("sag without sensors", "slow-sag", "5 to 7 %", sagging(0.05, 0.07), _unsensed_long),
    _plant("sag without sensors", "slow-sag", "7 to 15 %", sagging(0.07, 0.15), _unsensed_long),
    _plant("clock falls, with sensors", "throttling", "3 to 20 %", throttled, sensed),
    _plant("clock falls, without", "slow-sag", "3 to 20 %", throttled, _unsensed_long),
    _plant("loading", STRETCH, "3 to 5 s", slow_stretch(3, 5), long_enough),
    _plant("loading", STRETCH, "5 to 8 s", slow_stretch(5, 8), long_enough),
    _plant("bursts of another program", STRETCH, "2 to 6 of 2 to 5 s", bursts, long_enough),
    _plant("late or early start", "late-start", "2 to 8 s", late, moving),
    _plant("another scene", "wrong-scene", "same average", elsewhere_in_the_game, moving),
    replace(_plant("frames scatter", "frame-scatter", "2 to 4 times", scattered), told=True),
    _plant("further hitches", "extra-hitches", "5 to 9", hitching(5, 9)),
    _plant("further hitches", "extra-hitches", "10 to 14", hitching(10, 14)),
    _plant("further hitches", "extra-hitches", "15 to 24", hitching(15, 24)),
    _plant("further hitches", "extra-hitches", "25 to 50", hitching(25, 50)),
    _plant("power limit", "power-limit", "65 to 90 %", power_limited, _sensed_long),
    _plant("fan stops", "fan-failure", "", fan_stopped, _sensed_long),
    _plant("memory full", "memory-full", "", memory_filled, _sensed_long),
    _plant("another process", "background-load", "10 to 40 %", loaded_by_another, _sensed_long),
    replace(_plant("sensor frozen", "frozen-sensor", "clocks", frozen, _sensed), told=True),
    replace(_plant("sensor log of another zone", "sensor-clock", "", other_zone, _sensed), told=True),
    _shared("frame times in seconds", "wrong-units", in_unit(1e-3)),
    _shared("zero, negative, unreadable", "bad-frame-times", with_bad_rows, anywhere),
    _shared("gap in the log", "slipped-clock", with_gap, clocked),
    _shared("clock falls, with sensors", "throttling", throttled, sensed),
    _shared("frames wait for the screen", "screen-steps", screened(queued=False)),
    _shared("cap at one rate", CAP, at_common_rate(jitter=0.0005, corrects=True)),
    _shared("cap at one rate, jittered 0.3 %", CAP, at_common_rate(jitter=0.003, corrects=False)),
    _shared("cap for a stretch", CAP, part_time(0.3, 0.8)),
    _shared("loading", STRETCH, slow_stretch(3, 8), long_enough),
    _shared("sag without sensors", "slow-sag", sagging(0.05, 0.15), _unsensed_long),
    _shared("further hitches", "extra-hitches", hitching(15, 24)),
)
