"""The next trial of a part: a walk along its edge, hours where they tell most, hours at what is advised."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenhand.records.trials import Limit, Trial
from evenhand.tuning.advice import Advice, Goal, Withheld, advise
from evenhand.tuning.claims import claim
from evenhand.tuning.edge import Edge, learn
from evenhand.tuning.evidence import Evidence, evidence_of
from evenhand.tuning.soaking import telling_point
from evenhand.tuning.walk import Map, Point, Purpose, lowest_held, next_point

WALK_HOURS = 1 / 6
"""A trial of the walk: ten minutes, in which a part at its edge fails once on average."""

SOAK_HOURS = 1.0
MOST_SOAKS = 18
ENOUGH_RESERVE_MV = 25.0
"""A reserve no larger than this is not worth further hours: it costs some watts."""

MOST_AT_ONCE_HOURS = 8.0
CONFIRM_HOURS = 24.0
"""So long the advised voltage is to have held before the plan is done: then it is fewer than one in 8 h."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NextTrial:
    """What to set and for how long to run, and why."""

    clock_mhz: float
    voltage_mv: float
    hours: float
    purpose: Purpose


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where a part's trials stand: what they tell, the voltage for the clock that is wanted, what comes next.

    `edge` and `advice` are None before the first trial, `next` where the plan is done or cannot go on.
    """

    tried: Mapping[Point, bool]
    evidence: Evidence | None = None
    edge: Edge | None = None
    advice: Advice | None = None
    next: NextTrial | None = None


def standing(grid: Map, trials: Sequence[Trial], goal: Goal, limit: Limit | None, room_c: float) -> Standing:
    """Where the trials of a part under one load stand.

    The wanted clock is the highest that held and whose voltage lies within the limit.

    Rooms that were not read are taken to have been at `room_c`. Without a limit of the maker's there is no
    next trial either: nobody is sent towards a voltage whose most is not known. Nor is a voltage raised for
    failures that it seems not to cure.
    """
    tried = tried_points(grid, trials)
    found = walk_trial(grid, tried) if limit else None
    if not trials:
        return Standing(tried=tried, next=found)
    evidence = evidence_of(trials, room_c=room_c)
    edge = learn(evidence)
    advice = _wanted(grid, tried, edge, evidence, goal, limit)
    if found is not None and found.purpose is Purpose.RAISE and advice.withheld is Withheld.NOT_CURED:
        found = None
    if found is None and limit is not None:
        found = _soak(grid, trials, edge, advice, room_c)
    return Standing(tried=tried, evidence=evidence, edge=edge, advice=advice, next=found)


def _wanted(
    grid: Map, tried: Mapping[Point, bool], edge: Edge, evidence: Evidence, goal: Goal, limit: Limit | None
) -> Advice:
    """The advice for the wanted clock; where all that held need more than the limit, for the highest."""
    clocks = clocks_held(grid, tried) or grid.clocks_mhz[:1]
    found = [advise(edge, evidence, clock, goal, limit) for clock in clocks]
    within = [advice for advice in found if advice.withheld is not Withheld.PAST_LIMIT]
    return (within or found)[-1]


def tried_points(grid: Map, trials: Sequence[Trial]) -> dict[Point, bool]:
    """Which points of the map held for a trial of the walk (True), and which failed in any trial."""
    hours: dict[Point, float] = {}
    failed: set[Point] = set()
    for trial in trials:
        point = nearest(grid, trial.clock_mhz, trial.voltage_mv)
        hours[point] = hours.get(point, 0.0) + trial.hours
        if trial.outcome.failed or trial.errors:
            failed.add(point)
    held = [point for point, each in hours.items() if each >= 0.99 * WALK_HOURS]
    return {**dict.fromkeys(held, True), **dict.fromkeys(failed, False)}


def nearest(grid: Map, clock_mhz: float, voltage_mv: float) -> Point:
    """The point of the map nearest to a clock and a voltage."""
    clock = min(range(len(grid.clocks_mhz)), key=lambda c: abs(grid.clocks_mhz[c] - clock_mhz))
    voltage = min(range(len(grid.voltages_mv)), key=lambda v: abs(grid.voltages_mv[v] - voltage_mv))
    return clock, voltage


def clocks_held(grid: Map, tried: Mapping[Point, bool]) -> tuple[float, ...]:
    """The clocks at which some voltage held, ascending."""
    return tuple(f for c, f in enumerate(grid.clocks_mhz) if lowest_held(tried, c) is not None)


def walk_trial(grid: Map, tried: Mapping[Point, bool]) -> NextTrial | None:
    """The next trial of the walk; None when it is done."""
    found = next_point(grid, tried)
    if found is None:
        return None
    clock, voltage = found.point
    return NextTrial(
        clock_mhz=grid.clocks_mhz[clock], voltage_mv=grid.voltages_mv[voltage],
        hours=WALK_HOURS, purpose=found.purpose,
    )  # fmt: skip


def _soak(grid: Map, trials: Sequence[Trial], edge: Edge, advice: Advice, room_c: float) -> NextTrial | None:
    """Hours where they tell most, until the reserve is small; then at the advised voltage."""
    clocks = clocks_held(grid, tried_points(grid, trials))
    if advice.withheld in _HOPELESS or advice.needed_mv is None or not clocks:
        return None
    soaks = [trial for trial in trials if _planned(trial) >= 0.9 * SOAK_HOURS]
    if advice.needed_mv[1] - advice.needed_mv[0] > ENOUGH_RESERVE_MV and len(soaks) < MOST_SOAKS:
        clock = clocks[len(soaks) % len(clocks)]
        voltage = telling_point(edge, clock, room_c, advice.goal.step_mv)
        if voltage <= grid.voltages_mv[-1]:
            return NextTrial(clock_mhz=clock, voltage_mv=voltage, hours=SOAK_HOURS, purpose=Purpose.TELLING)
    return _confirm(trials, advice)


def _confirm(trials: Sequence[Trial], advice: Advice) -> NextTrial | None:
    """Hours at the advised voltage, until a day without a failure stands there."""
    if advice.voltage_mv is None:
        return None
    point = (advice.clock_mhz, advice.voltage_mv)
    there = claim([trial for trial in trials if (trial.clock_mhz, trial.voltage_mv) == point])
    if there.failures or there.hours >= CONFIRM_HOURS:
        return None
    return NextTrial(
        clock_mhz=advice.clock_mhz, voltage_mv=advice.voltage_mv,
        hours=min(CONFIRM_HOURS - there.hours, MOST_AT_ONCE_HOURS), purpose=Purpose.CONFIRM,
    )  # fmt: skip


def _planned(trial: Trial) -> float:
    return trial.hours if trial.planned_h is None else trial.planned_h


_HOPELESS = frozenset({Withheld.NOT_CURED, Withheld.NEVER_HELD, Withheld.NEVER_FAILED})
