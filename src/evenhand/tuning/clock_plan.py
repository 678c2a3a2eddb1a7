"""The next trial of a part whose clock alone is tuned: up in single steps, two beyond the edge, hours."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenhand.records.trials import Limit, Trial
from evenhand.tuning.advice import Advice, Goal, Withheld
from evenhand.tuning.bearing import NO_BEARING, Bearing
from evenhand.tuning.claims import claim
from evenhand.tuning.clock_alone import advise_clock, learn_clock, telling_clock
from evenhand.tuning.edge import Edge
from evenhand.tuning.evidence import evidence_of
from evenhand.tuning.planning import (
    NextTrial,
    Standing,
    clocks_held,
    hours_behind,
    tried_points,
    walked_trial,
)
from evenhand.tuning.walk import Map, Next, Point, Purpose

QUICKEST_H = 5 / 3600
"""Steps of a clock are wide, so that trials beyond the edge end at once: how soon is the load's own time."""

SOAK_HOURS = 1.0

ENOUGH_SHARE, ENOUGH_STEPS = 0.02, 2
MOST_CLOCK_SOAKS, LEAST_GAIN = 12, 0.02
"""A reserve no larger than two steps, or than 2 % of stock, is not worth further hours; nor is one that
raises the clock by less than 2 % of a step on average."""


def clock_standing(
    grid: Map, trials: Sequence[Trial], goal: Goal, limit: Limit | None, room_c: float,
    bearing: Bearing = NO_BEARING,
) -> Standing:  # fmt: skip
    """Where the trials of such a part under one load stand; as `tuning.planning.standing` tells it."""
    tried = tried_points(grid, trials)
    walked = next_clock(grid, tried) if limit else None
    found = None if walked is None else walked_trial(grid, walked)
    barred = None if found is None else bearing.barred(found.clock_mhz, found.voltage_mv)
    found = None if barred else found
    if not trials:
        return Standing(tried=tried, next=found)
    stock = grid.clocks_mhz[grid.start[0]]
    evidence = evidence_of(trials, room_c=room_c, quickest_h=QUICKEST_H)
    edge = learn_clock(evidence, stock)
    held = (clocks_held(grid, tried) or (stock,))[-1]
    advice = advise_clock(edge, evidence, goal, limit, stock_mhz=stock, held_mhz=held, bearing=bearing)
    if found is None and limit is not None and tried.get(grid.start):
        found = _soak(grid, trials, edge, advice, room_c, bearing)
    return Standing(tried=tried, evidence=evidence, edge=edge, advice=advice, next=found, barred=barred)


def next_clock(grid: Map, tried: Mapping[Point, bool]) -> Next | None:
    """The next clock of the walk: one step above the highest that held, and two above the lowest failure.

    None when it is done: where stock fails, the limit is reached, or both further steps were tried.
    """
    here = {clock: held for (clock, _), held in tried.items()}
    start, top = grid.start[0], len(grid.clocks_mhz) - 1
    if start not in here:
        return Next(point=grid.start, purpose=Purpose.BEGIN)
    if not here[start]:
        return None
    failed = min((clock for clock, held in here.items() if not held), default=None)
    if failed is None:
        after = max(here) + 1
        return None if after > top else Next(point=(after, grid.start[1]), purpose=Purpose.FASTER)
    for clock in range(failed + 1, min(failed + grid.deeper, top) + 1):
        if clock not in here:
            return Next(point=(clock, grid.start[1]), purpose=Purpose.BEYOND)
    return None


def _soak(
    grid: Map, trials: Sequence[Trial], edge: Edge, advice: Advice, room_c: float, bearing: Bearing
) -> NextTrial | None:
    """Hours where they tell most, until the reserve is small; then at the advised clock, or at the limit."""
    if advice.withheld is Withheld.NEVER_FAILED and bearing.barred(advice.clock_mhz, 0.0) is None:
        return _hours_at(trials, advice.clock_mhz, Purpose.AT_LIMIT)
    if advice.withheld in (Withheld.NEVER_FAILED, *_HOPELESS) or advice.meets_mhz is None:
        return None
    likely, surely = advice.meets_mhz
    stock = grid.clocks_mhz[grid.start[0]]
    soaks = sum((trial.planned_h or trial.hours) >= 0.9 * SOAK_HOURS for trial in trials)
    enough = max(ENOUGH_STEPS * advice.goal.step_mhz, ENOUGH_SHARE * stock)
    if likely - surely > enough and soaks < MOST_CLOCK_SOAKS:
        clocks = [mhz for mhz in grid.clocks_mhz[grid.start[0] :] if bearing.barred(mhz, 0.0) is None]
        told = telling_clock(edge, clocks, room_c, SOAK_HOURS, advice.goal)
        if told is not None and told.gain_mhz >= LEAST_GAIN * advice.goal.step_mhz:
            return NextTrial(
                clock_mhz=told.clock_mhz, voltage_mv=0.0, hours=SOAK_HOURS, purpose=Purpose.TELLING
            )
    if advice.withheld is not None:
        return None
    return _hours_at(trials, advice.clock_mhz, Purpose.CONFIRM_CLOCK)


def _hours_at(trials: Sequence[Trial], clock_mhz: float, purpose: Purpose) -> NextTrial | None:
    """Hours at a clock until a day without a failure stands there."""
    there = claim([trial for trial in trials if trial.clock_mhz == clock_mhz])
    return hours_behind((clock_mhz, 0.0), there, purpose)


_HOPELESS = frozenset({Withheld.NOT_CURED, Withheld.NEVER_HELD})
