"""Where the trials of a tuned part stand: advice for every clock, claims, what comes next, doubts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

from evenhand.desk.latest import Latest
from evenhand.desk.tuning.series import Series
from evenhand.records.trials import Quantity, Trial
from evenhand.tuning.advice import Advice, Goal, Withheld, advise
from evenhand.tuning.bearing import NO_BEARING, Bearing, bearing_of
from evenhand.tuning.claims import Claim, against, claim
from evenhand.tuning.clock_alone import ClockProspect, clock_prospect, telling_clock
from evenhand.tuning.clock_plan import SOAK_HOURS as CLOCK_HOURS
from evenhand.tuning.clock_plan import clock_standing
from evenhand.tuning.doubts import Doubt, doubts_of, stock_failed
from evenhand.tuning.edge import Edge
from evenhand.tuning.evidence import failures_of
from evenhand.tuning.mapping import map_of, no_map, own_limit, within
from evenhand.tuning.out_of_order import contradictions, fails_beyond
from evenhand.tuning.planning import NextTrial, Standing, clocks_held, standing, told_point
from evenhand.tuning.soaking import Prospect, prospect
from evenhand.tuning.telling import telling_trial
from evenhand.tuning.walk import Map

SOAK_HOURS = 1.0
"""So many hours more are told of, whether or not they come next."""

LATELY = Latest(16)  # the series that are being looked at, whatever else changes on the workbench

USUAL_ROOM_C = 24.0
"""What a room is taken for that nobody ever read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AtPoint:
    """The trials at one point and what they claim."""

    clock_mhz: float
    voltage_mv: float
    claim: Claim
    trials: tuple[Trial, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is advised for the clock that is wanted, and what the hours there claim; None without any."""

    advice: Advice
    at: AtPoint | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Outlook:
    """A soak that could come next, and what it would change of the voltage for that clock, or the clock."""

    clock_mhz: float
    voltage_mv: float
    prospect: Prospect | ClockProspect


@dataclass(frozen=True, slots=True, kw_only=True)
class OutOfOrder:
    """Trials that failed at a point, and ones that held where more is asked of the part."""

    failed: tuple[Trial, ...]
    held: tuple[Trial, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TuningNow:
    """Where one series stands.

    `map` is None where there is nothing to walk on. `advice` is by ascending clock, for each that held;
    `wanted` for the highest of them within the limit; one where the clock alone is tuned. `room_c` stands for
    rooms that were not read, and `goal` has the hottest. `bearing` are the limits of temperature and power.
    """

    series: Series
    goal: Goal
    room_c: float
    map: Map | None = None
    plan: Standing | None = None
    advice: tuple[Advice, ...] = ()
    wanted: Wanted | None = None
    points: tuple[AtPoint, ...] = ()
    outlooks: tuple[Outlook, ...] = ()
    order: tuple[OutOfOrder, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    bearing: Bearing = NO_BEARING

    @property
    def next(self) -> NextTrial | None:
        """What to try next; None where the plan is done or cannot go on."""
        return None if self.plan is None else self.plan.next


def tuning_now(series: Series) -> TuningNow:
    """Where a series stands. That takes some tenths of a second, and is at hand for the same trials again."""
    return LATELY.of(repr(series), lambda: _worked_out(series))


def _worked_out(series: Series) -> TuningNow:
    room = usual_room(series.trials)
    goal = Goal(
        room_c=_hottest(series, room), step_mv=series.tuned.voltage_step_mv,
        step_mhz=series.tuned.clock_step_mhz,
    )  # fmt: skip
    points = points_of(series.trials, offset=series.tuned.offset)
    told = within(series.trials, series.tuned)
    if no_map(series.tuned, told) is not None:
        doubts = doubts_of(series.tuned, series.trials, withheld=None, out_of_order=False)
        return TuningNow(series=series, goal=goal, room_c=room, points=points, doubts=doubts)
    grid = map_of(series.tuned, told)
    bearing = bearing_of(
        series.tuned, series.trials, hottest_c=goal.room_c, room_c=room, settling=series.settling
    )
    told_so = clock_standing if series.tuned.clock_alone else standing
    plan = _seen_to_hold(series, told_so(grid, told, goal, own_limit(series.tuned), room, bearing))
    order = _order(grid, told)
    return TuningNow(
        series=series, goal=goal, room_c=room, map=grid, plan=plan,
        advice=_advice(grid, plan, goal, series, bearing), wanted=_wanted(plan, points), points=points,
        outlooks=_outlooks(grid, plan, goal, room), order=order, bearing=bearing,
        doubts=_doubts(series, plan, bearing, out_of_order=bool(order)),
    )  # fmt: skip


def _seen_to_hold(series: Series, plan: Standing) -> Standing:
    """The plan; without advice or a next trial where trials speak against it, whatever the law says."""
    advice = plan.advice and _held_back(plan.advice, series)
    return plan if advice is plan.advice else replace(plan, advice=advice, next=None)


def _held_back(advice: Advice, series: Series) -> Advice:
    """The same advice, or none where trials speak against it whatever the law says."""
    if stock_failed(series.tuned, series.trials):
        return replace(advice, voltage_mv=None, meant_mv=None, withheld=Withheld.STOCK_FAILED)
    if fails_beyond(advice, series.trials):
        return replace(advice, voltage_mv=None, meant_mv=None, withheld=Withheld.NOT_CURED)
    return advice


def _doubts(series: Series, plan: Standing, bearing: Bearing, *, out_of_order: bool) -> tuple[Doubt, ...]:
    advice = plan.advice
    withheld = None if advice is None else advice.withheld
    unchecked: tuple[Quantity, ...] = ()
    if advice is not None and advice.voltage_mv is not None:
        unchecked = bearing.unchecked(advice.clock_mhz, advice.voltage_mv)
    return doubts_of(
        series.tuned, series.trials, withheld=withheld, out_of_order=out_of_order, unchecked=unchecked,
        disputed=series.settling is not None and series.settling.disputed,
    )  # fmt: skip


def usual_room(trials: Sequence[Trial]) -> float:
    """What stands for a room that was not read: the middle of those that were."""
    read = [trial.room_c for trial in trials if trial.room_c is not None]
    return median(read) if read else USUAL_ROOM_C


def _hottest(series: Series, room: float) -> float:
    """The hottest room to expect: as it was said, or else the warmest in which anything was tried."""
    if series.tuned.hottest_room_c is not None:
        return series.tuned.hottest_room_c
    return max((trial.room_c for trial in series.trials if trial.room_c is not None), default=room)


def points_of(trials: Sequence[Trial], *, offset: bool = False) -> tuple[AtPoint, ...]:
    """The points that were tried, by ascending clock and voltage, with what the hours at each claim.

    Where a point held and one failed that asks no more of the part, its claim says so.
    """
    by_point: dict[tuple[float, float], list[Trial]] = {}
    for trial in trials:
        by_point.setdefault((trial.clock_mhz, trial.voltage_mv), []).append(trial)
    claims = {place: claim(own) for place, own in by_point.items()}
    failed = {place: each for place, each in claims.items() if each.failures}
    held = {
        place: replace(each, against=against(place, failed, offset=offset))
        for place, each in claims.items()
        if not each.failures
    }
    return tuple(
        AtPoint(clock_mhz=place[0], voltage_mv=place[1], claim=(failed | held)[place], trials=tuple(own))
        for place, own in sorted(by_point.items())
    )


def _advice(
    grid: Map, plan: Standing, goal: Goal, series: Series, bearing: Bearing
) -> tuple[Advice, ...]:  # fmt: skip
    """Advice for every clock at which some voltage held."""
    if plan.edge is None or plan.evidence is None or plan.advice is None:
        return ()
    if series.tuned.clock_alone:
        return (plan.advice,)
    limit = own_limit(series.tuned)
    found = tuple(
        advise(plan.edge, plan.evidence, mhz, goal, limit, bearing) for mhz in clocks_held(grid, plan.tried)
    )
    return tuple(_held_back(each, series) for each in found)


def _wanted(plan: Standing, points: Sequence[AtPoint]) -> Wanted | None:
    if plan.advice is None:
        return None
    place = (plan.advice.clock_mhz, plan.advice.voltage_mv)
    at = next((each for each in points if (each.clock_mhz, each.voltage_mv) == place), None)
    return Wanted(advice=plan.advice, at=at)


def _outlooks(grid: Map, plan: Standing, goal: Goal, room: float) -> tuple[Outlook, ...]:
    """What an hour where it tells most would change for the wanted clock, and what the next trial would.

    Hours that would change nothing are left out.
    """
    if plan.edge is None or plan.advice is None or plan.advice.withheld is not None:
        return ()
    if plan.advice.meets_mhz is not None:
        return _clock_outlooks(grid, plan, plan.edge, goal, room)
    wanted = plan.advice.clock_mhz
    volts = {wanted: grid.voltages_mv}
    hour = telling_trial(plan.edge, goal, wanted, volts, room, lengths_h=(SOAK_HOURS,))
    asked = [] if hour is None else [(hour.clock_mhz, hour.voltage_mv, hour.hours)]
    if plan.next is not None:
        asked.append((plan.next.clock_mhz, plan.next.voltage_mv, plan.next.hours))
    told = (
        Outlook(
            clock_mhz=mhz, voltage_mv=volts, prospect=prospect(plan.edge, volts, mhz, room, hours, goal)
        )
        for mhz, volts, hours in dict.fromkeys(asked)
    )  # fmt: skip
    return tuple(each for each in told if each.prospect.tells)


def _clock_outlooks(
    grid: Map, plan: Standing, edge: Edge, goal: Goal, room: float
) -> tuple[Outlook, ...]:  # fmt: skip
    """The same of a part whose clock alone is tuned."""
    clocks = grid.clocks_mhz[grid.start[0] :]
    found = [telling_clock(edge, clocks, room, CLOCK_HOURS, goal)]
    if plan.next is not None:
        found.append(clock_prospect(edge, plan.next.clock_mhz, room, plan.next.hours, goal))
    return tuple(
        Outlook(clock_mhz=each.clock_mhz, voltage_mv=0.0, prospect=each)
        for each in dict.fromkeys(found)
        if each is not None and each.tells
    )


def _order(grid: Map, trials: Sequence[Trial]) -> tuple[OutOfOrder, ...]:
    """Points that failed although a harder one held, each with the hardest of these."""
    hardest: dict[tuple[int, int], tuple[int, int]] = {}
    for bad, good in contradictions(grid, trials):
        before = hardest.get(bad)
        if before is None or _asked(grid, good) > _asked(grid, before):
            hardest[bad] = good

    def at(point: tuple[int, int]) -> tuple[Trial, ...]:
        return tuple(trial for trial in trials if told_point(grid, trial)[0] == point)

    return tuple(
        OutOfOrder(failed=tuple(t for t in at(bad) if failures_of(t)), held=at(good))
        for bad, good in hardest.items()
    )


def _asked(grid: Map, point: tuple[int, int]) -> float:
    """How much a point asks of the part, in mV."""
    return grid.clocks_mhz[point[0]] * grid.slope - grid.voltages_mv[point[1]]
