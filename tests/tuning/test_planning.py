"""The plan of a part's trials, and what is advised: within the maker's limit, or nothing, and why."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from validation.chips import GOAL, LIMIT, ROOM_C, World, made, tune

from evenhand.records.trials import Outcome, Trial
from evenhand.tuning.advice import Withheld
from evenhand.tuning.planning import CONFIRM_HOURS, Standing, standing, tried_points, walk_trial
from evenhand.tuning.soaking import prospect
from evenhand.tuning.walk import Map, Purpose

GRID = Map(
    clocks_mhz=(5000.0, 5050.0), voltages_mv=tuple(950.0 + 5 * i for i in range(40)), start=(0, 20)
)  # fmt: skip


def trial(voltage: float, hours: float, outcome: Outcome = Outcome.PASSED, clock: float = 5000.0) -> Trial:
    return Trial(
        setup="a", part="processor", clock_mhz=clock, voltage_mv=voltage, load="integers", hours=hours,
        outcome=outcome, room_c=24.0,
    )  # fmt: skip


WALKED = [
    *(trial(1050.0 - 5 * i, 1 / 6) for i in range(9)),
    *(trial(v, h, Outcome.CRASH) for v, h in ((1005.0, 0.12), (1000.0, 0.05), (995.0, 0.02))),
    trial(1025, 1 / 6, clock=5050),
    *(trial(v, h, Outcome.CRASH, 5050) for v, h in ((1020.0, 0.1), (1015.0, 0.03), (1010.0, 0.01))),
]  # fmt: skip


def told(trials: list[Trial], **changes: object) -> Standing:
    asked = {"goal": GOAL, "limit": LIMIT, "room_c": 24.0, **changes}
    return standing(GRID, trials, **asked)  # type: ignore[arg-type]


def withheld(trials: list[Trial], **changes: object) -> Withheld | None:
    advice = told(trials, **changes).advice
    assert advice is not None
    return advice.withheld


def test_before_the_first_trial_stock_comes_next_and_nothing_is_advised() -> None:
    first = told([])
    assert first.next is not None
    assert (first.next.voltage_mv, first.next.purpose, first.advice) == (1050.0, Purpose.BEGIN, None)


def test_without_a_limit_of_the_maker_nothing_is_advised_and_nothing_comes_next() -> None:
    assert withheld(WALKED, limit=None) is Withheld.NO_LIMIT
    assert told(WALKED, limit=None).next is None
    assert told([], limit=None).next is None


@pytest.mark.parametrize(
    ("trials", "why"),
    [
        (WALKED[:1], Withheld.NEVER_FAILED),
        (WALKED[:9], Withheld.NEVER_FAILED),
        (WALKED[9:12], Withheld.NEVER_HELD),
        (WALKED[:10], Withheld.TOO_FEW),
    ],
)
def test_one_trial_all_passes_all_failures_or_too_few_failures_give_no_advice(
    trials: list[Trial], why: Withheld
) -> None:
    assert withheld(trials) is why


def test_what_is_advised_lies_above_the_edge_on_a_step_and_within_the_limit() -> None:
    advice = told(WALKED).advice
    assert advice is not None
    assert advice.withheld is None
    assert advice.voltage_mv is not None
    assert advice.edge_mv is not None
    assert advice.voltage_mv % 5 == 0
    assert advice.edge_mv[2] < advice.voltage_mv <= LIMIT.most
    assert advice.reserve_mv is not None
    assert advice.reserve_mv > 0


def test_past_the_makers_limit_nothing_is_advised() -> None:
    low = replace(LIMIT, most=1030.0, read_on=date(2026, 11, 2))
    assert withheld(WALKED, limit=low) is Withheld.PAST_LIMIT


def test_failures_far_above_the_edge_withhold_advice() -> None:
    odd = [trial(1120.0, 1.5, Outcome.CRASH) for _ in range(3)]
    assert withheld([*WALKED, *odd]) is Withheld.NOT_CURED


def test_a_cautious_target_and_a_hotter_room_ask_for_no_less() -> None:
    plain, careful, hot = (
        told(WALKED, goal=goal).advice
        for goal in (GOAL, replace(GOAL, rate=1e-4), replace(GOAL, room_c=40.0))
    )
    voltages = [advice.voltage_mv for advice in (plain, careful, hot) if advice and advice.voltage_mv]
    assert len(voltages) == 3
    assert voltages[0] < min(voltages[1:])


def test_hours_at_the_advised_voltage_end_the_plan() -> None:
    trials, seen = list(WALKED), []
    for _ in range(60):
        now = told(trials)
        if now.next is None:
            break
        seen.append(now.next.purpose)
        trials.append(replace(trial(now.next.voltage_mv, now.next.hours, clock=now.next.clock_mhz)))
    assert now.next is None
    assert seen[-1] is Purpose.CONFIRM
    assert now.advice is not None
    there = [t.hours for t in trials if t.voltage_mv == now.advice.voltage_mv and t.clock_mhz == 5050]
    assert sum(there) >= CONFIRM_HOURS


def test_where_every_clock_fails_above_what_held_no_soak_is_planned() -> None:
    odd = [trial(1150.0, 0.1, Outcome.CRASH), trial(1145.0, 0.1, Outcome.CRASH, 5050)]
    assert told([*WALKED, *odd]).next is None


def test_a_soak_that_fails_late_sends_nobody_up_again_and_one_that_fails_at_once_does() -> None:
    late, early = (trial(1030.0, hours, Outcome.CRASH, 5050) for hours in (0.6, 0.05))
    assert walk_trial(GRID, tried_points(GRID, [*WALKED, late])) is None
    top = [each for each in WALKED if (each.clock_mhz, each.voltage_mv) != (5050.0, 1025.0)]
    raised = walk_trial(GRID, tried_points(GRID, [*top, trial(1025.0, 1 / 6, clock=5050), early]))
    assert raised is not None
    assert (raised.purpose, raised.voltage_mv) == (Purpose.RAISE, 1035.0)


@pytest.mark.parametrize(
    ("clock", "voltage", "outcome", "point"),
    [
        (5033.0, 1052.0, Outcome.PASSED, (0, 21)),
        (5033.0, 1052.0, Outcome.CRASH, (1, 20)),
        (5048.0, 1049.9, Outcome.PASSED, (1, 20)),
        (5002.0, 1049.9, Outcome.CRASH, (0, 20)),
        (5080.0, 1145.0, Outcome.PASSED, (1, 39)),
        (5080.0, 1145.0, Outcome.CRASH, None),
        (5000.0, 1160.0, Outcome.CRASH, (0, 39)),
        (5000.0, 1160.0, Outcome.PASSED, None),
    ],
)
def test_between_steps_a_trial_tells_only_of_the_point_for_which_it_is_a_proof(
    clock: float, voltage: float, outcome: Outcome, point: tuple[int, int] | None
) -> None:
    found = tried_points(GRID, [trial(voltage, 0.1 if outcome.failed else 1.0, outcome, clock)])
    assert found == ({} if point is None else {point: not outcome.failed})


def test_nothing_is_advised_at_a_clock_that_never_held() -> None:
    at = told([*(t for t in WALKED if t.clock_mhz == 5000.0), trial(1052.0, 1.0, clock=5033.0)])
    assert at.advice is not None
    assert at.advice.clock_mhz == 5000.0


def test_stock_has_to_hold_however_long_it_is_tried() -> None:
    late = trial(1050.0, 6.0, Outcome.CRASH)
    assert tried_points(GRID, [*WALKED, late])[GRID.start] is False
    assert tried_points(GRID, WALKED)[GRID.start] is True


@pytest.mark.parametrize(("errors", "hours", "holds"), [(1, 1.0, True), (12, 1.0, False), (1, 1 / 6, False)])
def test_errors_that_were_counted_are_taken_to_have_come_evenly(
    errors: int, hours: float, holds: bool
) -> None:
    counted = replace(trial(1030.0, hours), errors=errors)
    assert tried_points(GRID, [counted]) == {(0, 16): holds}


def test_a_soak_is_worth_what_it_changes_whichever_way_it_ends() -> None:
    now = told(WALKED)
    assert now.edge is not None
    found = prospect(now.edge, 1035.0, 5050, ROOM_C, 1.0, GOAL)
    assert 0 < found.holds < 1
    assert found.if_held_mv < found.now_mv < found.if_failed_mv


def test_simulated_parts_meet_the_target_with_little_to_spare() -> None:
    world = World(e_fold_mv=5.0)
    spares = []
    for seed in range(6):
        rng = np.random.default_rng([7, seed])
        spares.append(tune(made(world, rng), rng).spare_mv)
    given = [spare for spare in spares if spare is not None]
    assert len(given) >= 5
    assert sum(spare >= 0 for spare in given) >= len(given) - 1
    assert np.mean(given) <= 45
