"""A run that is set aside brings its slot of the plan up again, unless that is left out too, on every way."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from tests.desk.small_folder import LATER, NOW

from evenhand.desk.bench.landing import Filing, land_score
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.plan_standing import SlotNow, SlotState
from evenhand.desk.bench.planning import make_plan, plan_now, skip
from evenhand.desk.bench.slots import slot_after, slot_words
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.asking import Asked, decide_as_asked
from evenhand.desk.runs.deciding import keep, set_aside, set_aside_for_good, take_back
from evenhand.desk.runs.said import Said
from evenhand.errors import BadRecord
from evenhand.store.plans import save_plan
from evenhand.store.workbench import Workbench

SAID = Said(now=LATER, by="phone")


@pytest.fixture
def filled(stocked: Workbench) -> tuple[Workbench, str]:
    """The small study with a plan, and a run in the first slot of its score test."""
    plan = make_plan(stocked, "quay", Terms(looks=(5,)), seed=7, now=NOW)
    slot = next(each for each in plan.slots if each.test == "render")
    filing = Filing(
        study="quay", test="render", setup=slot.setup, plan=plan.id, slot=slot.number, score=101.0, boot="new"
    )
    return stocked, land_score(stocked, filing, by="phone", now=NOW).run.run.id


def its_slot(wb: Workbench, run: str) -> SlotNow:
    plan = plan_now(wb, "quay")
    assert plan is not None
    return next(now for now in plan.slots if now.run == run)


def words(wb: Workbench, run: str) -> str:
    return slot_words(load_study(wb, "quay"), run)


def test_its_slot_comes_up_again(filled: tuple[Workbench, str]) -> None:
    wb, run = filled
    assert not its_slot(wb, run).state.open
    set_aside(wb, run, reason="interrupted", said=SAID)
    assert its_slot(wb, run).state.open
    assert words(wb, run) == "its slot comes up again"


def test_the_slot_of_a_settled_test_does_not_and_both_before_and_afterwards_say_why(
    filled: tuple[Workbench, str],
) -> None:
    wb, run = filled
    assert slot_after(load_study(wb, "quay"), run) == "Its slot comes up again."
    plan = load_study(wb, "quay").plan
    assert plan is not None
    save_plan(wb, replace(plan, looks=(3, 5)))
    said = "ts slot is not run again: its test is settled at the look at 3 runs"
    assert slot_after(load_study(wb, "quay"), run) == f"I{said}."
    set_aside(wb, run, reason="interrupted", said=SAID)
    assert words(wb, run) == f"i{said}"


def test_its_slot_is_left_out_on_a_second_choice_alone(filled: tuple[Workbench, str]) -> None:
    wb, run = filled
    set_aside_for_good(wb, run, reason="interrupted", said=SAID)
    assert its_slot(wb, run).state is SlotState.SKIPPED
    assert words(wb, run) == "its slot is left out"
    assert load_study(wb, "quay").written[-1].by == "phone"


@pytest.mark.parametrize(
    "again",
    [
        lambda wb, run: take_back(wb, run, said=SAID),
        lambda wb, run: keep(wb, run, said=SAID),
        lambda wb, run: set_aside(wb, run, reason="rig-fault", said=SAID),
    ],
    ids=["reopened", "kept", "set aside alone"],
)
def test_the_next_decision_takes_that_back(
    filled: tuple[Workbench, str], again: Callable[[Workbench, str], object]
) -> None:
    wb, run = filled
    set_aside_for_good(wb, run, reason="interrupted", said=SAID)
    again(wb, run)
    assert its_slot(wb, run).state is not SlotState.SKIPPED
    set_aside(wb, run, reason="interrupted", said=SAID)
    assert its_slot(wb, run).state.open


def test_a_slot_that_was_skipped_for_a_reason_of_its_own_stays_so(filled: tuple[Workbench, str]) -> None:
    wb, run = filled
    set_aside(wb, run, reason="interrupted", said=SAID)
    plan = plan_now(wb, "quay")
    assert plan is not None
    skip(wb, plan.plan.id, its_slot(wb, run).slot.number, "no time", by="", now=LATER)
    set_aside(wb, run, reason="rig-fault", said=SAID)
    assert its_slot(wb, run).why == "no time"


def test_a_run_that_fills_no_slot_is_refused_and_stays_as_it_is(stocked: Workbench) -> None:
    before = load_study(stocked, "quay").runs[0]
    asked = Asked(verb="set-aside", reason="interrupted", leave_slot_out=True)
    with pytest.raises(BadRecord, match="fills no slot of the plan"):
        decide_as_asked(stocked, before.run.id, asked, now=LATER)
    assert load_study(stocked, "quay").runs[0].state is before.state
