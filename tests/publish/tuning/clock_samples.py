"""Maps of parts whose voltage is left alone, in their usual and in their awkward cases."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from tests.publish import saltmarsh as s

from evenhand.publish.figures.tuning.map import tuning_map
from evenhand.publish.figures.tuning.scene import TuningMap
from evenhand.publish.picture import Picture
from evenhand.publish.style import Style
from evenhand.records.trials import Limit, Outcome, Quantity, Trial
from evenhand.tuning.advice import Goal
from evenhand.tuning.clock_plan import clock_standing
from evenhand.tuning.planning import NextTrial
from evenhand.tuning.walk import Map, Purpose

LIMIT = Limit(quantity=Quantity.CLOCK, most=3600.0, source="data sheet, page 3", read_on=date(2026, 11, 1))
GOAL = Goal(room_c=30.0, step_mv=0.0, step_mhz=50.0)
GRID = Map(clocks_mhz=tuple(2800.0 + 50 * n for n in range(17)), voltages_mv=(0.0,), start=(0, 0))
LONG = "memory " + "of the second pair, with the spreader that was taken off " * 4


def trial(clock_mhz: float, errors: int = 0, hours: float = 1 / 6) -> Trial:
    return Trial(
        setup="plover", part="memory", clock_mhz=clock_mhz, voltage_mv=0.0, load="blocks", hours=hours,
        planned_h=hours, errors=errors, outcome=Outcome.ERROR if errors else Outcome.PASSED, room_c=24.0,
    )  # fmt: skip


def shown(trials: Sequence[Trial], limit: Limit | None = LIMIT) -> TuningMap:
    """What the map of these trials shows."""
    now = clock_standing(GRID, trials, GOAL, limit, 24.0)
    return TuningMap(
        setup="plover", part="memory", load="blocks", trials=trials, limit=limit, next=now.next, offset=True,
        advice=() if now.advice is None else (now.advice,), clock_alone=True,
    )  # fmt: skip


WALKED = [
    *(trial(2800.0 + 50 * n) for n in range(13)), trial(3450.0, 6), trial(3500.0, 90), trial(3550.0, 2000),
]  # fmt: skip


def clock_maps() -> dict[str, TuningMap]:
    """Maps, usual and awkward."""
    usual = shown(WALKED)
    after = NextTrial(clock_mhz=2800.0, voltage_mv=0.0, hours=1 / 6, purpose=Purpose.BEGIN)
    odd = trial(2900.0, 1)
    return {
        "usual": usual,
        "done": shown([*WALKED, *[trial(3250.0, hours=8.0)] * 3]),
        "nothing tried": replace(usual, trials=[], advice=(), next=after),
        "one trial": shown(WALKED[:1]),
        "no failure yet": shown(WALKED[:6]),
        "all failed": shown([trial(2800.0, 3), trial(2850.0, 4)]),
        "below stock": shown([trial(2800.0), trial(2850.0, 2), trial(2900.0, 60), trial(2950.0, 900)]),
        "no limit": shown(WALKED, None),
        "limit far above": replace(usual, limit=replace(LIMIT, most=9000.0)),
        "against the order": replace(shown([*WALKED, odd]), against=frozenset({(2900.0, 0.0)})),
        "two hundred trials": shown([*WALKED, *[trial(3300.0, hours=0.1)] * 184]),
        "long names": replace(usual, part=LONG, load="a load of many words " * 6),
        "markup": replace(usual, part='<b>"x" & y</b>', limit=replace(LIMIT, source="<script>&")),
    }


def clock_pictures(style: Style) -> dict[str, Picture]:
    """All of them drawn."""
    return {case: tuning_map(found, s.NAMES, style=style) for case, found in clock_maps().items()}
