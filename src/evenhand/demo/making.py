"""One run of the Saltmarsh bench: what it reaches, the files it leaves, and what is noted about it."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from evenhand.demo.dialects import DIALECTS, Dialect, Floats, frame_log
from evenhand.demo.frames import Scene, capped_run, free_run
from evenhand.demo.schedule import Slot, Sort
from evenhand.demo.score_tables import SCORE_LAYOUT, TABLE_NAMES, TableRow
from evenhand.demo.sensor_logs import PLAY, WORK, Strain, sensor_layout, sensor_log
from evenhand.demo.truth import (
    DRIVER,
    GAMES,
    LOWER_RESOLUTION,
    MACHINES,
    OTHER_DRIVER,
    RESOLUTION,
    SWAPPED,
    SYSTEM,
    TASKS,
    Game,
    Machine,
    Task,
)
from evenhand.demo.workshop import setup_key
from evenhand.folders.study_folder import RunEntry, ScoreKey

CAPPED_FPS = 143.9
LOWER_RESOLUTION_GAIN = 1.095
OTHER_DRIVER_FPS = 89.3
FALLS_AT_S = 540.0
FALLS_TO_MHZ = 4150.0
HOT_SCORE = 4.33  # half of the 18 minutes at 4.15 GHz instead of 4.70
COPIED = "Plover, Nine Tramlines 4"
COPY_NAME = "tramlines-final-2"
COPY_LACKS_S = 2.0
SENSED = ("regatta", "render")

_GAMES = {game.key: game for game in GAMES}
_TASKS = {task.key: task for task in TASKS}
_SWAPS = {swap.machine.key: swap for swap in SWAPPED}
_MACHINES = {machine.key: machine for machine in (*MACHINES, *(swap.machine for swap in SWAPPED))}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Bench:
    """What runs are made from, and what they leave: files by name, rows of score tables, logs for copying.

    `effects` are log effects by machine, then by block and test.
    """

    rng: np.random.Generator
    scenes: Mapping[str, Scene]
    effects: Mapping[str, Mapping[tuple[int, str], float]]
    files: dict[str, bytes] = field(default_factory=dict)
    table_rows: list[TableRow] = field(default_factory=list)
    to_copy: list[tuple[RunEntry, Dialect, Floats]] = field(default_factory=list)


def made_run(slot: Slot, bench: Bench) -> RunEntry:
    """Make the run of this slot: its files go to the bench, its facts come back."""
    machine = _MACHINES[slot.machine]
    game = _GAMES.get(slot.test)
    run = (
        _game_run(slot, game, machine, bench) if game else _task_run(slot, _TASKS[slot.test], machine, bench)
    )
    return _with_sensors(run, slot, machine, bench) if slot.test in SENSED else run


def copied_run(bench: Bench) -> RunEntry:
    """A log that someone cut by two seconds and renamed: its bytes are new, its frames are not."""
    origin, dialect, frame_times_ms = next(made for made in bench.to_copy if made[0].label == COPIED)
    begins_s = (np.cumsum(frame_times_ms) - frame_times_ms) / 1000.0
    log = f"{(origin.log or '').rpartition('/')[0]}/{COPY_NAME}{dialect.ending}"
    bench.files[log] = frame_log(dialect, frame_times_ms[begins_s >= COPY_LACKS_S], COPY_NAME)
    return RunEntry(
        test=origin.test,
        setup=origin.setup,
        label=COPY_NAME,
        log=log,
        layout=origin.layout,
        stamps=origin.stamps,
    )


def _rate(slot: Slot, truth: float, bench: Bench) -> float:
    """What this run reaches, in the unit of its test."""
    special = {
        Sort.CAPPED: CAPPED_FPS,
        Sort.OTHER_DRIVER: OTHER_DRIVER_FPS,
        Sort.HOT_ROOM: HOT_SCORE,
        Sort.LOWER_RESOLUTION: truth * LOWER_RESOLUTION_GAIN,
    }
    if slot.sort in special:
        return special[slot.sort]
    return truth * math.exp(bench.effects[slot.machine][slot.block, slot.test])


def _game_run(slot: Slot, game: Game, machine: Machine, bench: Bench) -> RunEntry:
    swap = _SWAPS.get(machine.key)
    truth = swap.rates[game.key] if swap else game.rates[machine.key]
    rate = _rate(slot, truth, bench)
    free = free_run(
        bench.scenes[game.key], truth if slot.sort is Sort.CAPPED else rate, game.seconds, bench.rng
    )
    frame_times_ms = capped_run(free, rate, bench.rng) if slot.sort is Sort.CAPPED else free
    dialect = DIALECTS[game.dialects[swap.like if swap else machine.key]]
    log = f"logs/{_stem(slot)}{dialect.ending}"
    bench.files[log] = frame_log(dialect, frame_times_ms, f"{game.name}: {game.scene}")
    picture = LOWER_RESOLUTION if slot.sort is Sort.LOWER_RESOLUTION else RESOLUTION
    run = replace(
        _noted(slot, game, machine, bench),
        log=log,
        layout=dialect.layout.name,
        stamps={**_stamps(slot), "version": game.version, "resolution": picture},
    )
    if run.label == COPIED:
        bench.to_copy.append((run, dialect, frame_times_ms))
    return run


def _task_run(slot: Slot, task: Task, machine: Machine, bench: Bench) -> RunEntry:
    rate = _rate(slot, task.rates[machine.key], bench)
    run = replace(_noted(slot, task, machine, bench), stamps=_stamps(slot), duration_s=60.0 * task.minutes)
    if not task.tabled:
        return replace(run, score=float(f"{rate:.4g}"))
    take = str(slot.block + 1)
    bench.table_rows.append(TableRow(machine=machine.key, task=task.name, take=take, result=rate))
    return replace(
        run,
        scores=TABLE_NAMES[machine.key],
        layout=SCORE_LAYOUT.name,
        row=ScoreKey(test=task.name, run=take),
    )


def _noted(slot: Slot, test: Game | Task, machine: Machine, bench: Bench) -> RunEntry:
    """What the reviewer writes down beside the number."""
    watts = machine.play_w if isinstance(test, Game) else machine.work_w
    return RunEntry(
        test=test.key,
        setup=setup_key(machine.key),
        label=_label(slot, test.name, machine.name),
        boot=slot.boot,
        order=slot.order,
        started_at=slot.started_at,
        ambient_c=slot.room_c,
        wall_w=float(round(watts + bench.rng.normal(0.0, 2.0))),
    )


def _label(slot: Slot, test: str, machine: str) -> str:
    if slot.sort is Sort.HOT_ROOM:
        return f"{machine}, {test}, hot room"
    again = ", first go" if slot.sort is Sort.LOWER_RESOLUTION else ""
    return f"{machine}, {test} {slot.block + 1}{again}"


def _stem(slot: Slot) -> str:
    """A file name without folder and ending."""
    if slot.sort is Sort.HOT_ROOM:
        return f"{slot.machine}/{slot.test}-hot"
    again = "-first" if slot.sort is Sort.LOWER_RESOLUTION else ""
    return f"{slot.machine}/{slot.test}-{slot.block + 1}{again}"


def _stamps(slot: Slot) -> dict[str, str]:
    return {"driver": OTHER_DRIVER if slot.sort is Sort.OTHER_DRIVER else DRIVER, "os": SYSTEM}


def _with_sensors(run: RunEntry, slot: Slot, machine: Machine, bench: Bench) -> RunEntry:
    seconds = run.duration_s or _GAMES[slot.test].seconds
    name = f"sensors/{_stem(slot)}.csv"
    bench.files[name] = sensor_log(machine, _strain(slot), seconds, bench.rng)
    return replace(run, sensors=name, sensor_layout=sensor_layout(machine))


def _strain(slot: Slot) -> Strain:
    processor, graphics = PLAY if slot.test in _GAMES else WORK
    if slot.sort is Sort.CAPPED:
        graphics -= 11.0
    hot = slot.sort is Sort.HOT_ROOM
    return Strain(
        processor_pct=processor,
        graphics_pct=graphics,
        room_c=slot.room_c,
        falls_at_s=FALLS_AT_S if hot else None,
        falls_to_mhz=FALLS_TO_MHZ if hot else 0.0,
    )
