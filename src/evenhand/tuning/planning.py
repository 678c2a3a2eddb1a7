"""The next trial of a part: a walk along its edge, trials that tell most, hours at what is advised."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenhand.records.trials import Limit, Quantity, Trial
from evenhand.tuning.advice import PAST_A_LIMIT, Advice, Goal, Withheld, advise
from evenhand.tuning.bearing import NO_BEARING, Bearing
from evenhand.tuning.claims import Claim, claim
from evenhand.tuning.edge import Edge, learn
from evenhand.tuning.evidence import Evidence, evidence_of
from evenhand.tuning.mapping import ON_STEP
from evenhand.tuning.telling import telling_trial
from evenhand.tuning.walk import Map, Next, Point, Purpose, lowest_held, next_point

WALK_HOURS = 1 / 6
"""A trial of the walk: ten minutes, in which a part at its edge fails once on average."""

LEAST_HELD = 0.99 * WALK_HOURS  # clocks of two machines may differ a little

LEAST_WORTH = 0.3
"""A trial that takes less than so many mV an hour off the doubt is not worth it: they cost some watts."""

MOST_TRIALS, MOST_HOURS = 30, 30.0
"""After so many trials or hours since the walk it is enough."""

UPWARD = frozenset({Purpose.RAISE, Purpose.HIGHER_CLOCK})
"""Steps of the walk that ask for more voltage: none is raised for failures that it seems not to cure."""

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

    `edge` and `advice` are None before the first trial, `next` where the plan is done or cannot go on;
    `barred` says by which limit of the maker's, of temperature or power, the walk ended early.
    """

    tried: Mapping[Point, bool]
    evidence: Evidence | None = None
    edge: Edge | None = None
    advice: Advice | None = None
    next: NextTrial | None = None
    barred: Quantity | None = None


def standing(
    grid: Map, trials: Sequence[Trial], goal: Goal, limit: Limit | None, room_c: float,
    bearing: Bearing = NO_BEARING,
) -> Standing:  # fmt: skip
    """Where the trials of a part under one load stand.

    The wanted clock is the highest that held and whose voltage lies within the limit, where the part keeps
    within those of temperature and power. No trial goes where one of these was passed at an easier point.

    Rooms that were not read are taken to have been at `room_c`. Without a limit of the maker's there is no
    next trial either: nobody is sent towards a voltage whose most is not known. Nor is a voltage raised for
    failures that it seems not to cure.
    """
    tried = tried_points(grid, trials)
    found = walk_trial(grid, tried) if limit else None
    barred = None if found is None else bearing.barred(found.clock_mhz, found.voltage_mv)
    found = None if barred else found
    if not trials:
        return Standing(tried=tried, next=found)
    evidence = evidence_of(trials, room_c=room_c)
    edge = learn(evidence)
    clocks = clocks_held(grid, tried) or grid.clocks_mhz[:1]
    advice = wanted_of([advise(edge, evidence, clock, goal, limit, bearing) for clock in clocks])
    if found is not None and found.purpose in UPWARD and advice.withheld is Withheld.NOT_CURED:
        found = None
    if found is None and limit is not None:
        found = _further(grid, trials, edge, advice, room_c, bearing)
    return Standing(tried=tried, evidence=evidence, edge=edge, advice=advice, next=found, barred=barred)


def wanted_of(found: Sequence[Advice]) -> Advice:
    """The advice for the wanted clock, of those by ascending clock; where all go past a limit the highest."""
    within = [advice for advice in found if advice.withheld not in PAST_A_LIMIT]
    return (within or found)[-1]


def tried_points(grid: Map, trials: Sequence[Trial]) -> dict[Point, bool]:
    """Which points of the map held for a trial of the walk (True), and which failed within one.

    The walk asks whether a point holds for ten minutes: where a soak fails later, that is the edge's matter
    and sends nobody up again. Stock has to hold for however long it was tried.
    """
    *_, tried = {}, *_one_by_one(grid, trials)
    return tried


def _one_by_one(grid: Map, trials: Sequence[Trial]) -> Iterator[dict[Point, bool]]:
    """Which points held and which failed after each trial; the same mapping, as it grows."""
    hours: dict[Point, float] = defaultdict(float)
    tried: dict[Point, bool] = {}
    for trial in trials:
        point, held = told_point(grid, trial)
        if point is not None and not held:
            tried[point] = False
        elif point is not None:
            hours[point] += trial.hours
            if hours[point] >= LEAST_HELD:
                tried.setdefault(point, True)
        yield tried


def told_point(grid: Map, trial: Trial) -> tuple[Point | None, bool]:
    """The point of the map that a trial tells of, and whether it held there as the walk asks.

    Between steps it tells only what it proves: that it holds at the next step below of the clock, with the
    next step above of the voltage, or that it fails the other way about. None where that is off the map.
    """
    until = _first_failure_h(trial)
    harder = _no_easier(grid, trial)
    if until < LEAST_HELD or (harder == grid.start and until < math.inf):
        return harder, False
    return _no_harder(grid, trial), True


def _no_easier(grid: Map, trial: Trial) -> Point | None:
    """The nearest point that asks for at least as much; more voltage than the map has counts as its most."""
    clock = _first_from(grid.clocks_mhz, trial.clock_mhz)
    voltage = _last_until(grid.voltages_mv, trial.voltage_mv)
    return None if clock is None or voltage is None else (clock, voltage)


def _no_harder(grid: Map, trial: Trial) -> Point | None:
    """The nearest point that asks for no more."""
    clock = _last_until(grid.clocks_mhz, trial.clock_mhz)
    voltage = _first_from(grid.voltages_mv, trial.voltage_mv)
    return None if clock is None or voltage is None else (clock, voltage)


def _first_from(steps: Sequence[float], value: float) -> int | None:
    """The first step that is no less than a value."""
    return next((n for n, step in enumerate(steps) if step >= value - _as_shown(steps)), None)


def _last_until(steps: Sequence[float], value: float) -> int | None:
    """The last step that is no more than a value."""
    within = [n for n, step in enumerate(steps) if step <= value + _as_shown(steps)]
    return within[-1] if within else None


def _as_shown(steps: Sequence[float]) -> float:
    """So far off a step a value is that step still."""
    return ON_STEP * (steps[1] - steps[0]) if len(steps) > 1 else 0.0


def _first_failure_h(trial: Trial) -> float:
    """When a trial first failed; counted errors are taken to have come evenly. Infinite where it held."""
    if trial.errors:
        return trial.hours / (trial.errors + 1)
    return trial.hours if trial.outcome.failed else math.inf


def _after_walk(grid: Map, trials: Sequence[Trial], bearing: Bearing) -> Sequence[Trial]:
    """The trials that were made once the walk was done, or went where it is too hot or draws too much."""
    for number, tried in enumerate(_one_by_one(grid, trials), start=1):
        found = walk_trial(grid, tried)
        if found is None or bearing.barred(found.clock_mhz, found.voltage_mv):
            return trials[number:]
    return ()


def clocks_held(grid: Map, tried: Mapping[Point, bool]) -> tuple[float, ...]:
    """The clocks at which some voltage held, ascending."""
    return tuple(f for c, f in enumerate(grid.clocks_mhz) if lowest_held(tried, c) is not None)


def walk_trial(grid: Map, tried: Mapping[Point, bool]) -> NextTrial | None:
    """The next trial of the walk; None when it is done."""
    found = next_point(grid, tried)
    return None if found is None else walked_trial(grid, found)


def walked_trial(grid: Map, found: Next) -> NextTrial:
    """A point of the walk as a trial."""
    clock, voltage = found.point
    return NextTrial(
        clock_mhz=grid.clocks_mhz[clock], voltage_mv=grid.voltages_mv[voltage],
        hours=WALK_HOURS, purpose=found.purpose,
    )  # fmt: skip


def _further(
    grid: Map, trials: Sequence[Trial], edge: Edge, advice: Advice, room_c: float, bearing: Bearing
) -> NextTrial | None:
    """The trial that tells most, as long as one is worth its hours; then hours at the advised voltage."""
    tried = tried_points(grid, trials)
    clocks = [c for c in range(len(grid.clocks_mhz)) if lowest_held(tried, c) is not None]
    if advice.withheld in _HOPELESS or not clocks:
        return None
    found = None
    if not _there(trials, advice).hours and _may_go_on(_after_walk(grid, trials, bearing)):
        volts = {grid.clocks_mhz[c]: _may_be_set(grid, tried, c, bearing) for c in clocks}
        found = telling_trial(edge, advice.goal, advice.clock_mhz, volts, room_c)
    if found is None or found.worth < LEAST_WORTH:
        return _confirm(trials, advice)
    to_fail = found.hours <= WALK_HOURS and found.holds < 1 / 2
    return NextTrial(
        clock_mhz=found.clock_mhz, voltage_mv=found.voltage_mv, hours=found.hours,
        purpose=Purpose.DEEPER if to_fail else Purpose.TELLING,
    )  # fmt: skip


def _may_go_on(trials: Sequence[Trial]) -> bool:
    """Whether there are trials and hours left, after those that were made since the walk."""
    return len(trials) < MOST_TRIALS and sum(trial.hours for trial in trials) < MOST_HOURS


def _may_be_set(
    grid: Map, tried: Mapping[Point, bool], clock: int, bearing: Bearing
) -> tuple[float, ...]:  # fmt: skip
    """The voltages of the map that may be set at a clock: down to one step below the lowest tried there."""
    lowest, mhz = min(v for c, v in tried if c == clock), grid.clocks_mhz[clock]
    return tuple(mv for mv in grid.voltages_mv[max(lowest - 1, 0) :] if bearing.barred(mhz, mv) is None)


def _confirm(trials: Sequence[Trial], advice: Advice) -> NextTrial | None:
    """Hours at the advised voltage; None where none is advised or they stand there."""
    if advice.voltage_mv is None:
        return None
    point = (advice.clock_mhz, advice.voltage_mv)
    return hours_behind(point, _there(trials, advice), Purpose.CONFIRM)


def hours_behind(point: tuple[float, float], there: Claim, purpose: Purpose) -> NextTrial | None:
    """Hours at a clock in MHz and a voltage in mV, until a day without a failure stands there."""
    if there.failures or there.hours >= CONFIRM_HOURS:
        return None
    clock, voltage = point
    hours = min(CONFIRM_HOURS - there.hours, MOST_AT_ONCE_HOURS)
    return NextTrial(clock_mhz=clock, voltage_mv=voltage, hours=hours, purpose=purpose)


def _there(trials: Sequence[Trial], advice: Advice) -> Claim:
    """What the hours at the advised voltage claim."""
    point = (advice.clock_mhz, advice.voltage_mv)
    return claim([trial for trial in trials if (trial.clock_mhz, trial.voltage_mv) == point])


_HOPELESS = frozenset({Withheld.NOT_CURED, Withheld.NEVER_HELD, Withheld.NEVER_FAILED})
