"""A file that is sent again, as by a rig that never had the answer, is the run that it is already."""

from __future__ import annotations

import pytest
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import LATER, NOW

from evenhand.desk.bench.planning import plan_now
from evenhand.desk.bench.uploading import Came, take_in
from evenhand.desk.on_record import load_study
from evenhand.records.plans import Plan, Slot
from evenhand.store import arrivals, plans
from evenhand.store.workbench import Workbench


@pytest.fixture
def planned(stocked: Workbench) -> Workbench:
    slots = tuple(
        Slot(number=n, block=n, test="causeway", setup="wren", boot=f"wren-{n}", order=40 + n, minutes=5)
        for n in (4, 5, 6)
    )
    plans.save_plan(stocked, Plan(study=STUDY, at=NOW, seed=1, looks=(9,), slots=slots))
    return stocked


def sent(wb: Workbench, number: int) -> Came:
    """A log without its place: which that is follows from what is expected."""
    return take_in(
        wb,
        log(number),
        name=f"{number}.csv",
        facts={"study": STUDY, "test": "causeway", "setup": "wren"},
        by="rig",
        now=LATER,
    )


def filled(wb: Workbench) -> list[int]:
    plan = plan_now(wb, STUDY)
    assert plan
    return [each.slot.number for each in plan.slots if each.run]


def test_it_keeps_its_place_in_the_plan(planned: Workbench) -> None:
    first = sent(planned, 1).landed
    assert first
    assert filled(planned) == [4]
    told = len(arrivals.placings_of(planned, first_arrival(planned)))
    for _ in range(3):
        again = sent(planned, 1).landed
        assert again
        assert (again.run.run.id, again.again) == (first.run.run.id, True)
    assert filled(planned) == [4]
    assert len(arrivals.placings_of(planned, first_arrival(planned))) == told


def first_arrival(wb: Workbench) -> int:
    """The number of the log that came in first."""
    return min(each.arrival for each in load_study(wb, STUDY).placed if each.plan is not None)


def test_the_next_log_takes_the_next_place(planned: Workbench) -> None:
    sent(planned, 1)
    sent(planned, 1)
    second = sent(planned, 2).landed
    assert second
    assert (second.again, filled(planned)) == (False, [4, 5])
    assert sent(planned, 1).landed is not None
    assert filled(planned) == [4, 5]
