"""Parts whose voltage is left alone: up in single steps, a clock within the limit that meets the target."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import date

import pytest
from validation.clock_alone import World, tune

from evenhand.records.trials import Limit, Outcome, Quantity, Trial, Tuned
from evenhand.tuning.advice import Advice, Goal, Withheld
from evenhand.tuning.clock_alone import clock_prospect, edge_mhz, learn_clock, telling_clock
from evenhand.tuning.clock_plan import clock_standing, next_clock
from evenhand.tuning.evidence import MOST_COUNTED, MOST_RATED, evidence_of
from evenhand.tuning.mapping import NoMap, map_of, no_map, own_limit
from evenhand.tuning.planning import CONFIRM_HOURS, WALK_HOURS, Standing
from evenhand.tuning.walk import Map, Purpose

MOST = Limit(quantity=Quantity.CLOCK, most=3400.0, source="data sheet", read_on=date(2031, 5, 2))
PART = Tuned(
    setup="a", part="memory", stock_clock_mhz=2800.0, stock_voltage_mv=None, clock_step_mhz=50.0,
    voltage_step_mv=0.0, offset=True, hottest_room_c=30.0, limits=(MOST,),
)  # fmt: skip
GOAL = Goal(room_c=30.0, step_mv=0.0, step_mhz=50.0)
GRID = map_of(PART, [])


def trial(clock: float, errors: int = 0, hours: float = WALK_HOURS) -> Trial:
    return Trial(
        setup="a", part="memory", clock_mhz=clock, voltage_mv=0.0, load="blocks", hours=hours, errors=errors,
        planned_h=hours, outcome=Outcome.ERROR if errors else Outcome.PASSED, room_c=24.0,
    )  # fmt: skip


WALKED = [
    *(trial(2800.0 + 50 * n) for n in range(9)), trial(3250, 3), trial(3300, 40), trial(3350, 3000),
]  # fmt: skip


def told(trials: Sequence[Trial], grid: Map = GRID, limit: Limit | None = MOST) -> Standing:
    return clock_standing(grid, trials, GOAL, limit, 24.0)


def advice_of(trials: Sequence[Trial], grid: Map = GRID) -> Advice:
    advice = told(trials, grid).advice
    assert advice is not None
    return advice


def walked(holds: Callable[[float], bool], grid: Map = GRID) -> list[tuple[float, Purpose]]:
    tried: dict[tuple[int, int], bool] = {}
    found = []
    while (step := next_clock(grid, tried)) is not None:
        clock = grid.clocks_mhz[step.point[0]]
        found.append((clock, step.purpose))
        tried[step.point] = holds(clock)
    return found


def test_the_map_has_one_voltage_and_reaches_from_stock_to_the_limit_of_the_clock() -> None:
    assert GRID.voltages_mv == (0.0,)
    assert (GRID.clocks_mhz[0], GRID.clocks_mhz[-1]) == (2800.0, 3400.0)
    assert own_limit(PART) == MOST


@pytest.mark.parametrize(
    ("limits", "why"),
    [
        ((), NoMap.NO_CLOCK_LIMIT),
        ((replace(MOST, quantity=Quantity.VOLTAGE),), NoMap.NO_CLOCK_LIMIT),
        ((replace(MOST, most=2700.0),), NoMap.BELOW_STOCK),
        ((MOST,), None),
    ],
)
def test_it_takes_a_limit_of_the_clock_and_none_of_the_voltage(
    limits: tuple[Limit, ...], why: NoMap | None
) -> None:
    assert no_map(replace(PART, limits=limits)) is why


def test_the_walk_goes_up_in_single_steps_and_two_beyond_the_first_failure() -> None:
    found = walked(lambda clock: clock < 3200)
    assert [clock for clock, _ in found] == [2800.0 + 50 * n for n in range(11)]
    assert [purpose for _, purpose in found[-3:]] == [Purpose.FASTER, Purpose.BEYOND, Purpose.BEYOND]


def test_where_stock_fails_nothing_is_tried_further_and_nothing_past_the_limit_ever() -> None:
    assert [clock for clock, _ in walked(lambda _: False)] == [2800.0]
    assert max(clock for clock, _ in walked(lambda _: True)) == MOST.most
    assert max(clock for clock, _ in walked(lambda clock: clock < 3400)) == MOST.most


def test_what_is_advised_lies_below_the_edge_on_a_step_and_says_its_guard_band_and_reserve() -> None:
    advice = advice_of(WALKED)
    assert advice.edge_mhz is not None
    assert advice.voltage_mv == 0.0
    assert 2800 <= advice.clock_mhz < advice.edge_mhz[0]
    assert (advice.clock_mhz - 2800) % 50 == 0
    assert advice.guard_band_mhz == advice.edge_mhz[1] - advice.clock_mhz
    assert advice.reserve_mhz is not None
    assert 0 < advice.reserve_mhz < advice.guard_band_mhz
    assert advice.guard_band_mv is None


def test_none_is_advised_past_the_limit_above_what_held_or_below_stock() -> None:
    low = replace(MOST, most=3000.0)
    grid = map_of(replace(PART, limits=(low,)), [])
    for trials in (WALKED, [*WALKED, *[trial(3200, hours=100.0)] * 3]):
        advice = clock_standing(grid, trials, GOAL, low, 24.0).advice
        assert advice is not None
        assert advice.clock_mhz <= 3200
        assert advice.voltage_mv is None or advice.clock_mhz <= 3000.0
    early = [trial(2800), trial(2850, 2), trial(2900, 60), trial(2950, 900)]
    assert advice_of(early).withheld is Withheld.FEW_HOURS
    assert advice_of(early).clock_mhz == 2800.0


@pytest.mark.parametrize(
    ("trials", "why"),
    [
        (WALKED[:1], Withheld.NEVER_FAILED),
        (WALKED[:9], Withheld.NEVER_FAILED),
        (WALKED[9:], Withheld.NEVER_HELD),
        ([*WALKED[:9], trial(3250, 1)], Withheld.TOO_FEW),
    ],
)
def test_one_trial_all_passes_all_failures_or_too_few_give_none(
    trials: list[Trial], why: Withheld
) -> None:  # fmt: skip
    assert advice_of(trials).withheld is why
    none = told(trials, limit=None)
    assert none.next is None
    assert none.advice is not None
    assert none.advice.withheld is Withheld.NO_LIMIT


def test_a_warmer_room_lowers_the_clock() -> None:
    cool = clock_standing(GRID, WALKED, replace(GOAL, room_c=20.0), MOST, 24.0).advice
    hot = clock_standing(GRID, WALKED, replace(GOAL, room_c=45.0), MOST, 24.0).advice
    assert cool is not None
    assert hot is not None
    assert cool.edge_mhz is not None
    assert hot.edge_mhz is not None
    assert hot.edge_mhz[1] < cool.edge_mhz[1]


def test_counted_errors_are_a_rate_and_not_only_a_first_failure() -> None:
    first, counted = (
        edge_mhz(learn_clock(evidence_of([*WALKED[:9], trial(3250, n, 1.0)], room_c=24.0), 2800.0), 24.0, 0.5)
        for n in (1, 6)
    )
    assert counted[0] < first[0]
    assert counted[0] == pytest.approx(3250.0, abs=20.0)  # six an hour are the edge itself


def test_errors_of_a_trial_weigh_no_more_than_some_and_beyond_many_tell_only_a_least_rate() -> None:
    few, more, many = (
        evidence_of([trial(3300, n)], room_c=24.0) for n in (MOST_COUNTED, MOST_RATED, 40 * MOST_COUNTED)
    )
    assert (few.failures.tolist(), len(few.late)) == ([MOST_COUNTED], 0)
    assert few.hours.tolist() == pytest.approx([WALK_HOURS])
    assert (more.failures.tolist(), len(more.late)) == ([MOST_COUNTED], 0)
    assert more.hours.tolist() == pytest.approx([WALK_HOURS * MOST_COUNTED / MOST_RATED])
    assert len(many.hours) == 0
    assert many.late[0, 3:].tolist() == pytest.approx([0.0, WALK_HOURS / 40])
    assert many.failed == 1


def test_an_hour_is_spent_where_it_raises_the_advice_most_and_never_above_the_edge() -> None:
    now = told(WALKED)
    assert now.edge is not None
    found = telling_clock(now.edge, GRID.clocks_mhz, 24.0, 1.0, GOAL)
    assert found is not None
    assert found.clock_mhz <= edge_mhz(now.edge, 24.0, 0.5)[0]
    assert found.if_failed_mhz < found.now_mhz < found.if_held_mhz
    others = [clock_prospect(now.edge, clock, 24.0, 1.0, GOAL).gain_mhz for clock in (2800.0, 3000.0)]
    assert found.gain_mhz >= max(others)


def after(trials: list[Trial], rate: Callable[[float], int]) -> tuple[Standing, list[Purpose]]:
    """The plan followed to its end; how many errors an hour come at each clock is told."""
    seen, made = [], list(trials)
    while (now := told(made)).next is not None and len(made) < 60:
        seen.append(now.next.purpose)
        made.append(
            trial(now.next.clock_mhz, round(rate(now.next.clock_mhz) * now.next.hours), now.next.hours)
        )
    return now, seen


def test_the_plan_ends_with_a_day_at_the_advised_clock() -> None:
    now, seen = after(WALKED, lambda clock: 0)
    assert now.next is None
    assert set(seen) == {Purpose.CONFIRM_CLOCK}


def test_where_trials_tell_little_hours_below_the_edge_come_first() -> None:
    little = [*WALKED[:9], trial(3250, 1), trial(3300, 800), trial(3350, 3000)]
    now, seen = after(little, lambda clock: 0)
    assert now.next is None
    assert (seen[0], seen[-1]) == (Purpose.TELLING, Purpose.CONFIRM_CLOCK)


def test_where_nothing_failed_up_to_the_limit_a_day_there_is_all_that_is_left() -> None:
    held = [trial(clock) for clock in GRID.clocks_mhz]
    now, seen = after(held, lambda clock: 0)
    assert set(seen) == {Purpose.AT_LIMIT}
    assert len(seen) == math.ceil((CONFIRM_HOURS - WALK_HOURS) / 8)
    assert now.advice is not None
    assert (now.advice.withheld, now.advice.clock_mhz) == (Withheld.NEVER_FAILED, MOST.most)


@pytest.mark.parametrize("counts", [False, True])
def test_simulated_parts_meet_the_target(counts: bool) -> None:
    spares = [tune(World(e_fold=9.0, step=50.0, counts=counts), 7, each)[0] for each in range(3)]
    given = [spare for spare in spares if spare is not None]
    assert len(given) >= 2
    assert all(0 <= spare <= 250 for spare in given)
