"""What is true in Saltmarsh: the machines, the tests and the rates they really reach."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

WREN, PLOVER, DUNLIN = "wren", "plover", "dunlin"


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """One machine: power at the wall in W when playing and when working, clocks in MHz, °C at load."""

    key: str
    name: str
    play_w: float
    work_w: float
    processor_mhz: float
    graphics_mhz: float
    processor_c: float
    graphics_c: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Game:
    """One game: true rates in fps by machine, seconds of a run, and how far its scene swings (in logs)."""

    key: str
    name: str
    rates: Mapping[str, float]
    dialects: Mapping[str, str]
    seconds: float
    swing: float
    scene: str
    version: str
    stresses: tuple[str, ...] = ("graphics",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One work test: true rates by machine in `unit`; `tabled` scores stand in a table of their own."""

    key: str
    name: str
    rates: Mapping[str, float]
    unit: str
    minutes: float
    scene: str
    tabled: bool = False
    stresses: tuple[str, ...] = field(default=("processor",))


PAID: Mapping[str, int] = {WREN: 742, PLOVER: 998, DUNLIN: 1012}
PRICED_ON = date(2026, 11, 24)
"""Whole machines in drell, and the day on which they were asked for."""


def _rates(wren: float, plover: float, dunlin: float) -> dict[str, float]:
    return {WREN: wren, PLOVER: plover, DUNLIN: dunlin}


def _dialects(wren: str, plover: str, dunlin: str) -> dict[str, str]:
    return {WREN: wren, PLOVER: plover, DUNLIN: dunlin}


MACHINES = (
    Machine(
        key=WREN, name="Wren", play_w=208, work_w=131, processor_mhz=4400, graphics_mhz=2310,
        processor_c=71, graphics_c=66,
    ),
    Machine(
        key=PLOVER, name="Plover", play_w=301, work_w=158, processor_mhz=4550, graphics_mhz=2550,
        processor_c=74, graphics_c=69,
    ),
    Machine(
        key=DUNLIN, name="Dunlin", play_w=286, work_w=187, processor_mhz=4700, graphics_mhz=2480,
        processor_c=83, graphics_c=67,
    ),
)  # fmt: skip

GAMES = (
    Game(
        key="causeway", name="Salt Causeway", rates=_rates(61, 88, 79.5), seconds=60, swing=0.22,
        dialects=_dialects("comma", "comma", "semicolon"),
        scene="from the lighthouse over the causeway to the toll gate", version="1.8.2",
    ),
    Game(
        key="tramlines", name="Nine Tramlines", rates=_rates(54, 61, 71.5), seconds=60, swing=0.18,
        dialects=_dialects("semicolon", "pipe", "pipe"), stresses=("processor",),
        scene="tram 9 from the depot to the fish market", version="3.0.11",
    ),
    Game(
        key="regatta", name="Hollow Regatta", rates=_rates(118, 165, 148), seconds=60, swing=0.125,
        dialects=_dialects("spaces", "comma", "shown at"),
        scene="harbour lap, second buoy to the quay", version="2.4",
    ),
    Game(
        key="ember", name="Ember Parish", rates=_rates(70, 96, 89), seconds=72, swing=0.2,
        dialects=_dialects("tab", "tab", "json lines"),
        scene="the parish road at dusk, church to ferry", version="1.1.0",
    ),
    Game(
        key="choir", name="Quarry Choir", rates=_rates(83, 104, 103.6), seconds=64, swing=0.2,
        dialects=_dialects("json lines", "spaces", "shown at"), stresses=("graphics", "processor"),
        scene="down the quarry stairs while the choir sings", version="0.9.7",
    ),
)  # fmt: skip

TASKS = (
    Task(
        key="export", name="Timeline export", rates=_rates(9.2, 13.1, 12.4), unit="jobs/h", minutes=8.0,
        scene="twelve minutes of harbour film with three titles", stresses=("graphics", "processor"),
    ),
    Task(
        key="render", name="Night render", rates=_rates(3.10, 4.05, 4.60), unit="jobs/h", minutes=18.0,
        scene="the lamp scene, 400 frames",
    ),
    Task(
        key="photo", name="Photo batch", rates=_rates(14.0, 16.0, 17.2), unit="jobs/h", minutes=5.0,
        scene="200 raw pictures of boats, developed and scaled", tabled=True,
    ),
    Task(
        key="load", name="Project load", rates=_rates(6.00, 7.40, 7.35), unit="loads/min", minutes=3.0,
        scene="the festival project, from closed to playing", tabled=True, stresses=("storage", "processor"),
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Swapped:
    """A machine with another one's graphics card: its true rates, and both it came from by key."""

    machine: Machine
    like: str
    graphics_of: str
    rates: Mapping[str, float]


PLOVER_36, DUNLIN_40 = "plover-36", "dunlin-40"
SWAPPED = (
    Swapped(
        machine=Machine(
            key=PLOVER_36, name="Plover with Lantern 36", play_w=291, work_w=156, processor_mhz=4550,
            graphics_mhz=2480, processor_c=74, graphics_c=67,
        ),
        like=PLOVER, graphics_of=DUNLIN, rates={"causeway": 80.9, "tramlines": 69.7},
    ),
    Swapped(
        machine=Machine(
            key=DUNLIN_40, name="Dunlin with Lantern 40", play_w=297, work_w=188, processor_mhz=4700,
            graphics_mhz=2550, processor_c=83, graphics_c=69,
        ),
        like=DUNLIN, graphics_of=PLOVER, rates={"causeway": 86.5, "tramlines": 60.9},
    ),
)  # fmt: skip
"""The Lantern 40 draws more, the Lantern 36 has more memory, which Nine Tramlines fills."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TrueEffects:
    """Plover over Dunlin in one test, in logs: the graphics card, all else, and how far they depend."""

    graphics: float
    rest: float
    between: float


def true_effects(test: str) -> TrueEffects:
    """What the swap has to find: both effects averaged over both orders, y11 − y10 − y01 + y00.

    >>> found = true_effects("tramlines")
    >>> round(found.graphics, 3), round(found.rest, 3), round(found.between, 3)
    (-0.147, -0.012, 0.027)
    """
    rates = next(game.rates for game in GAMES if game.key == test)
    plover, dunlin = math.log(rates[PLOVER]), math.log(rates[DUNLIN])
    other = {swap.like: math.log(swap.rates[test]) for swap in SWAPPED}
    return TrueEffects(
        graphics=(plover - other[PLOVER] + other[DUNLIN] - dunlin) / 2,
        rest=(plover - other[DUNLIN] + other[PLOVER] - dunlin) / 2,
        between=plover - other[PLOVER] - other[DUNLIN] + dunlin,
    )


QUIET_ROOM_DB = 30.5
LOUDNESS: Mapping[str, tuple[float, float]] = {WREN: (27.6, 38.4), PLOVER: (33.6, 41.9), DUNLIN: (33.0, 38.9)}
"""The machine alone in dB(A) at the meter, idle and under load: Wren idles below the room."""

SOUND_TEST = "causeway"

RESOLUTION = "1920 × 1080"
LOWER_RESOLUTION = "1600 × 900"
DRIVER = "31.4"
OTHER_DRIVER = "31.6"
SYSTEM = "Tern 9.2"
MARGIN = 0.03
ROOM_C = (21.0, 27.0)
