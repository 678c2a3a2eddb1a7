"""Faults to plant: each spoils the first run of a good cell (or all of them) in one way, and says which."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from evenhand.triage.candidate import Candidate, Company
from validation.triage.scenes import Scene
from validation.triage.spoiling.course import (
    bursts,
    elsewhere_in_the_game,
    hitching,
    late,
    odd,
    sagging,
    scattered,
    slow_stretch,
    throttled,
)
from validation.triage.spoiling.logs import (
    cut,
    doubled,
    in_unit,
    lasting,
    noised_copy,
    resampled_copy,
    sampled,
    set_clock,
    stamped,
    stopped_after,
    trimmed_copy,
    warm_room,
    with_bad_rows,
    with_gap,
)
from validation.triage.spoiling.machine import (
    fan_stopped,
    found_in_log,
    frozen,
    loaded_by_another,
    memory_filled,
    other_zone,
    power_limited,
    says_more_is_unjudged,
)
from validation.triage.spoiling.rates import (
    at_common_rate,
    capped,
    on_a_screen,
    part_time,
    screened,
    under_refresh,
    unlocked,
)
from validation.triage.spoiling.ways import Single, Spoil, every, first, first_two, swing

Seen = Callable[[Candidate, Candidate, Company], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plant:
    """One kind of fault at one size.

    `kind` is what triage should call it, `size` what is planted, in words. `fits` says in which scenes it
    can be planted at all; `shared` that every run has it. `told` marks kinds that are meant to be notes:
    they count as found where they are told, held or not. `seen` asks the run before and after instead,
    where no fault is meant to be found. `runs` is how many runs are spoilt, the first ones: a cell must
    hold more. `moves_siblings` marks plants for which the whole cell is first made quicker or slower.
    """

    name: str
    kind: str
    size: str
    spoil: Spoil
    fits: Callable[[Scene], bool]
    shared: bool = False
    told: bool = False
    runs: int = 1
    moves_siblings: bool = False
    seen: Seen | None = None

    @property
    def title(self) -> str:
        """Its name and size in one line."""
        return f"{self.name}, {self.size}" if self.size else self.name


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


def _has_room(scene: Scene) -> bool:
    return scene.room


def _with_line(scene: Scene) -> bool:
    return scene.locked_fps is not None


def _timed(scene: Scene) -> bool:
    return not scene.free_length


def _timed_long(scene: Scene) -> bool:
    return _timed(scene) and scene.length_s >= 30


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
    Plant(
        name="two aborted takes",
        kind="length",
        size="20 to 70 %",
        spoil=first_two(lasting(0.2, 0.7)),
        fits=_timed_long,
        runs=2,
    ),
    _plant("too short a take", "too-short", "1 to 4.5 s", stopped_after(1.0, 4.5), _timed),
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
    Plant(
        name="cap under the screen's rate",
        kind=CAP,
        size="50 to 97 %",
        spoil=under_refresh,
        fits=free,
        moves_siblings=True,
    ),
    _plant("cap for a stretch", CAP, "30 to 50 % of the run", part_time(0.3, 0.5)),
    _plant("cap for a stretch", CAP, "50 to 80 %", part_time(0.5, 0.8)),
    _plant("cap for a stretch", CAP, "80 to 100 %", part_time(0.8, 1.0)),
    _plant("declared limiter off", "lock-missed", "", unlocked, _with_line),
    _plant("frames wait for the screen", "screen-steps", "", screened(queued=False), on_a_screen),
    _plant("frames queue for the screen", "screen-steps", "", screened(queued=True), on_a_screen),
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
    replace(
        _plant("sensor logger stops", "unjudged", "", frozen, _sensed_long),
        seen=says_more_is_unjudged,
    ),
    replace(_plant("sensor log of another zone", "alignment", "", other_zone, _sensed), seen=found_in_log),
    _shared("frame times in seconds", "wrong-units", in_unit(1e-3)),
    _shared("zero, negative, unreadable", "bad-frame-times", with_bad_rows, anywhere),
    _shared("gap in the log", "slipped-clock", with_gap, clocked),
    _shared("clock falls, with sensors", "throttling", throttled, sensed),
    _shared("frames wait for the screen", "screen-steps", screened(queued=False), on_a_screen),
    _shared("cap at one rate", CAP, at_common_rate(jitter=0.0005)),
    _shared("cap at one rate, jittered 0.3 %", CAP, at_common_rate(jitter=0.003, corrects=False)),
    _shared("cap for a stretch", CAP, part_time(0.3, 0.8, common=True)),
    _shared("loading", STRETCH, slow_stretch(3, 8), long_enough),
    _shared("sag without sensors", "slow-sag", sagging(0.05, 0.15), _unsensed_long),
    _shared("further hitches", "extra-hitches", hitching(15, 24)),
)
