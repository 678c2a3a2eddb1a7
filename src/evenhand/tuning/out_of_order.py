"""Trials that contradict each other: a point that failed although one held that asks for more of the part.

A failure comes by chance, so that one long after another point's ten minutes contradicts nothing. One is told
where the harder point never failed and held for ten minutes, and ten times as long as the easier one took to
fail, or where that failed within a trial of the walk: as likely at both, such a pair comes in fewer than one
case in 25 at ten times as long, in one of four at worst within the walk, where trying again costs little.
"""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.records.trials import Trial
from evenhand.stats.counts import rate_interval
from evenhand.tuning.advice import Advice
from evenhand.tuning.evidence import failures_of
from evenhand.tuning.planning import LEAST_HELD, told_point
from evenhand.tuning.walk import Map, Point, against_order

SEVERAL = 2
TIMES = 10.0
"""So many times as long as a failure took the harder point held, where it came after the walk's hours."""


def contradictions(grid: Map, trials: Sequence[Trial]) -> tuple[tuple[Point, Point], ...]:
    """Pairs of a point that failed and one that held although it asks for more of the part."""
    failed_after: dict[Point, float] = {}
    hours: dict[Point, float] = {}
    for trial in trials:
        point, _ = told_point(grid, trial)
        if point is None:
            continue
        hours[point] = hours.get(point, 0.0) + trial.hours
        if failures_of(trial):
            known = trial.hours if trial.found_after_h is None else trial.found_after_h
            failed_after[point] = min(failed_after.get(point, known), known)
    held = {point for point, each in hours.items() if point not in failed_after and each >= LEAST_HELD}
    pairs = against_order({**dict.fromkeys(held, True), **dict.fromkeys(failed_after, False)})
    return tuple(
        (bad, good) for bad, good in pairs
        if failed_after[bad] < LEAST_HELD or hours[good] >= TIMES * failed_after[bad]
    )  # fmt: skip


def fails_beyond(advice: Advice, trials: Sequence[Trial]) -> bool:
    """Whether trials that ask no more than what is advised failed surely more often than the goal allows.

    A law by which more voltage always cures cannot hold then, however long a lower voltage held. One failure
    alone is not enough.
    """
    voltage = advice.voltage_mv
    if voltage is None:
        return False
    easier = [each for each in trials if each.clock_mhz <= advice.clock_mhz and each.voltage_mv >= voltage]
    failures, hours = sum(map(failures_of, easier)), sum(each.hours for each in easier)
    return failures >= SEVERAL and hours > 0 and rate_interval(failures, hours)[0] > advice.goal.rate
