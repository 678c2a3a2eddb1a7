"""Plover at stock beside Plover tuned: a second, small study, in which what tuning bought was planted.

Two games and a work test, five runs of each state. The tuned setup is the one of the first study, the parts,
builds and tests too: nothing that another study uses is another here. Draws are from a stream of their own.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from statistics import fmean

import numpy as np

from evenhand.demo.dialects import DIALECTS, frame_log
from evenhand.demo.effects import run_effects
from evenhand.demo.frames import Scene, free_run, scene
from evenhand.demo.schedule import GAME_MINUTES, Slot, Visit, placed
from evenhand.demo.sound_readings import EVENING, READINGS, STEP, reading
from evenhand.demo.trials import SOAKS, TUNED
from evenhand.demo.truth import (
    DRIVER,
    GAMES,
    LOUDNESS,
    MACHINES,
    MARGIN,
    PLOVER,
    RESOLUTION,
    ROOM_C,
    SOUND_TEST,
    SYSTEM,
    TASKS,
    Game,
    Machine,
    Task,
)
from evenhand.demo.workshop import BUILDS, DRELL, PARTS, SETUPS, TESTS
from evenhand.folders.study_folder import STUDY_FILE, LayoutEntry, RunEntry, StudyFolder
from evenhand.folders.writing import write_study
from evenhand.records.builds import Setup
from evenhand.records.sound import SoundReading
from evenhand.records.studies import Study

SEED = 25
STREAM = 4
"""Beside the seed: one of the streams in which no run stands out by chance, and all tests are settled."""

DAY = datetime(2026, 11, 25, 8, 40, tzinfo=UTC)
BLOCKS = 5
BLOCK = timedelta(minutes=75)
METER_SD_W = 2.0

_PLOVER = next(machine for machine in MACHINES if machine.key == PLOVER)
MILD, STOCK = TUNED.setup, "plover-stock"
AS_STOCK = replace(_PLOVER, key=STOCK, play_w=288, work_w=135, processor_mhz=4500, processor_c=69)
"""Stock draws what the processor's own watts are less by, and what the supply loses on them."""

LOUDER_DB = 1.6
STOCK_DB = (LOUDNESS[PLOVER][0], LOUDNESS[PLOVER][1] - LOUDER_DB)
"""Stock alone in dB(A) at the meter, idle and under load: idle as the tuned one, under load quieter."""


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """One state of Plover: its setup, what it draws, and the clock that firmware is set to, in MHz."""

    setup: str
    machine: Machine
    clock_mhz: float


STATES = (
    State(setup=MILD, machine=_PLOVER, clock_mhz=max(clock for clock, *_ in SOAKS)),
    State(setup=STOCK, machine=AS_STOCK, clock_mhz=TUNED.stock_clock_mhz),
)

GAINS: Mapping[str, float] = {"causeway": 0.001, "tramlines": 0.025, "render": 0.0305}
"""What tuning buys in truth, as shares of stock's rate: nothing where the graphics card is waited for, most
of the clock's rise of 3.3 % where the processor is."""

AHEAD_IN = ("tramlines", "render")
"""Where the gain shows in five runs of each; on average it is less than the workshop's margin."""

_GAMES = {game.key: game for game in GAMES if game.key in GAINS}
_TASKS = {task.key: task for task in TASKS if task.key in GAINS}

STUDY = Study(
    key="saltmarsh-stock",
    title="Plover, tuned and at stock",
    question="What did tuning Plover buy?",
    audience="the workshop, before it tunes the other seats alike",
    budget="no money: hours of trials, watts and noise",
    setups=(MILD, STOCK),
    tests=tuple(GAINS),
    margin=MARGIN,
    ambient_c=ROOM_C,
    currency=DRELL,
)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Bench:
    """What runs are made from, and their logs by name."""

    rng: np.random.Generator
    scenes: Mapping[str, Scene]
    effects: Mapping[str, Mapping[tuple[int, str], float]]
    files: dict[str, bytes]


def at_stock(seed: int = SEED) -> Mapping[str, bytes]:
    """The whole folder: relative path to bytes, `study.toml` among them.

    >>> folder = at_stock()
    >>> b"What did tuning Plover buy?" in folder["study.toml"], "logs/plover-stock/causeway-5.csv" in folder
    (True, True)
    """
    rng = np.random.default_rng([seed, STREAM])
    scenes = {key: scene(game.swing, rng) for key, game in _GAMES.items()}
    bench = _Bench(rng=rng, scenes=scenes, effects={s.setup: _effects(rng) for s in STATES}, files={})
    runs = [_run(slot, bench) for slot in _slots(rng)]
    return {STUDY_FILE: write_study(_folder(runs, seed)).encode(), **bench.files}


def _folder(runs: Sequence[RunEntry], seed: int) -> StudyFolder:
    (build,) = (build for build in BUILDS if build.key == PLOVER)
    (mild,) = (setup for setup in SETUPS if setup.key == MILD)
    order = {(test, setup): i for i, (test, setup) in enumerate((t, s) for t in GAINS for s in STUDY.setups)}
    return StudyFolder(
        study=STUDY,
        parts=tuple(part for part in PARTS if part.key in build.parts),
        builds=(build,),
        setups=(mild, _at_stock(mild)),
        tests=tuple(test for test in TESTS if test.key in GAINS),
        layouts=tuple(_layouts()),
        runs=tuple(sorted(runs, key=lambda run: order[run.test, run.setup])),
        sound=tuple(_readings(np.random.default_rng([seed, STREAM, STREAM]))),
    )


def _at_stock(mild: Setup) -> Setup:
    return replace(mild, key=STOCK, name="Plover, stock", state="stock")


def _readings(rng: np.random.Generator) -> Iterator[SoundReading]:
    """Stock idle and under load, on the evening on which the others were read, after them."""
    at = EVENING + 2 * READINGS * len(MACHINES) * STEP
    for _ in range(READINGS):
        for test, alone in zip(("", SOUND_TEST), STOCK_DB, strict=True):
            yield reading(STOCK, AS_STOCK, alone, test=test, at=at, rng=rng)
            at += STEP


def _layouts() -> Iterator[LayoutEntry]:
    for dialect in dict.fromkeys(game.dialects[PLOVER] for game in _GAMES.values()):
        yield DIALECTS[dialect].layout


def _effects(rng: np.random.Generator) -> Mapping[tuple[int, str], float]:
    """Log effects of one state by block and test: those of each test and of each boot add up to nothing."""
    good = np.ones((BLOCKS, len(GAINS)), dtype=np.bool_)
    effects = run_effects(good, (slice(0, len(GAINS)),), rng)
    return {
        (block, test): float(effects[block, at]) for block in range(BLOCKS) for at, test in enumerate(GAINS)
    }


def _slots(rng: np.random.Generator) -> Iterator[Slot]:
    """Every run, in order: a state is set in firmware and booted, does all tests, then the other one."""
    starts = tuple(DAY + block * BLOCK for block in range(BLOCKS))
    yield from placed(list(_visits()), rng, starts=starts)


def _visits() -> Iterator[Visit]:
    minutes = {key: float(GAME_MINUTES) for key in _GAMES} | {
        k: task.minutes + 1 for k, task in _TASKS.items()
    }
    for block in range(BLOCKS):
        for state in STATES if block % 2 == 0 else reversed(STATES):
            for test in GAINS:
                yield Visit(test=test, machine=state.setup, block=block, minutes=minutes[test])


def true_rate(test: str, setup: str) -> float:
    """What a state reaches in truth, in the test's own unit; the tuned one as in the first study.

    >>> true_rate("causeway", MILD), round(true_rate("render", STOCK), 2)
    (88, 3.93)
    """
    tuned = (_GAMES[test] if test in _GAMES else _TASKS[test]).rates[PLOVER]
    return tuned if setup == MILD else tuned / (1 + GAINS[test])


def true_added_w() -> float:
    """What the tuned one draws on top at the wall, on average of the tests."""
    play, work = _PLOVER.play_w - AS_STOCK.play_w, _PLOVER.work_w - AS_STOCK.work_w
    return fmean(play if test in _GAMES else work for test in GAINS)


def _run(slot: Slot, bench: _Bench) -> RunEntry:
    state = next(each for each in STATES if each.setup == slot.machine)
    rate = true_rate(slot.test, state.setup) * math.exp(bench.effects[state.setup][slot.block, slot.test])
    if slot.test in _GAMES:
        return _game_run(slot, state, rate, bench)
    task = _TASKS[slot.test]
    noted = _noted(slot, task, state, bench)
    return replace(noted, score=float(f"{rate:.4g}"), duration_s=60.0 * task.minutes)


def _game_run(slot: Slot, state: State, rate: float, bench: _Bench) -> RunEntry:
    game = _GAMES[slot.test]
    dialect = DIALECTS[game.dialects[PLOVER]]
    frame_times_ms = free_run(bench.scenes[game.key], rate, game.seconds, bench.rng)
    log = f"logs/{state.setup}/{game.key}-{slot.block + 1}{dialect.ending}"
    bench.files[log] = frame_log(dialect, frame_times_ms, f"{game.name}: {game.scene}")
    noted = _noted(slot, game, state, bench)
    stamps = {**noted.stamps, "version": game.version, "resolution": RESOLUTION}
    return replace(noted, log=log, layout=dialect.layout.name, stamps=stamps)


def _noted(slot: Slot, test: Game | Task, state: State, bench: _Bench) -> RunEntry:
    """What is written down beside the number, the clock that firmware was set to among it."""
    watts = state.machine.play_w if isinstance(test, Game) else state.machine.work_w
    called = "stock" if state.setup == STOCK else "tuned"
    return RunEntry(
        test=test.key, setup=state.setup, label=f"Plover {called}, {test.name} {slot.block + 1}",
        boot=slot.boot, order=slot.order, started_at=slot.started_at, ambient_c=slot.room_c,
        wall_w=float(round(watts + bench.rng.normal(0.0, METER_SD_W))),
        stamps={"driver": DRIVER, "os": SYSTEM, "processor clock": f"{state.clock_mhz:.0f} MHz"},
    )  # fmt: skip
