"""A second log for a place in the plan that has a run already waits, and counts for nothing meanwhile."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from tests.desk.landing_cases import STUDY, come_in, filing, landed, log
from tests.desk.small_folder import LATER, NOW

from evenhand.desk.bench.landing import land
from evenhand.desk.bench.making_runs import SlotFilled
from evenhand.desk.on_record import load_study
from evenhand.desk.runs.deciding import set_aside
from evenhand.desk.runs.said import Said
from evenhand.records.plans import Plan, Slot
from evenhand.store import arrivals, plans
from evenhand.store.workbench import Workbench


@pytest.fixture
def plan(stocked: Workbench) -> Plan:
    slot = Slot(number=1, block=1, test="causeway", setup="wren", boot="wren-4", order=40, minutes=5)
    return plans.save_plan(stocked, Plan(study=STUDY, at=NOW, seed=1, looks=(3,), slots=(slot,)))


def test_it_waits_in_the_inbox_and_says_which_run_landed(stocked: Workbench, plan: Plan) -> None:
    first = landed(stocked, log(1), plan=plan.id, slot=1).run.run
    before = len(load_study(stocked, STUDY).runs)
    with pytest.raises(SlotFilled, match=f"run 1 of the plan has landed meanwhile: {first.label}"):
        landed(stocked, log(2), plan=plan.id, slot=1)
    assert len(load_study(stocked, STUDY).runs) == before
    assert len(arrivals.waiting(stocked)) == 1


def test_the_very_same_log_is_the_run_that_stands_there(stocked: Workbench, plan: Plan) -> None:
    first = landed(stocked, log(1), plan=plan.id, slot=1)
    again = landed(stocked, log(1), plan=plan.id, slot=1)
    assert (again.run.run.id, again.again) == (first.run.run.id, True)


def test_in_the_place_of_one_that_was_left_out_the_next_lands(stocked: Workbench, plan: Plan) -> None:
    first = landed(stocked, log(1), plan=plan.id, slot=1).run.run
    set_aside(stocked, first.id, reason="interrupted", said=Said(note="the phone rang", now=LATER))
    assert not landed(stocked, log(2), plan=plan.id, slot=1).again


def test_of_two_that_come_at_once_one_lands(stocked: Workbench, plan: Plan) -> None:
    def brought(seed: int) -> bool:
        came = come_in(stocked, log(seed), f"{seed}.csv")
        try:
            land(stocked, came, filing(plan=plan.id, slot=1), by="phone", now=LATER)
        except SlotFilled:
            return False
        return True

    with ThreadPoolExecutor(4) as phones:
        assert sum(phones.map(brought, range(1, 5))) == 1
    assert len(arrivals.waiting(stocked)) == 3
