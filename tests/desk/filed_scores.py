"""A plan for the scores of the small study, and runs filed under its slots as they come on a bench day."""

from __future__ import annotations

from datetime import timedelta

from tests.desk.small_folder import NOW

from evenhand.desk.bench.landing import Filing, land_score
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.on_record import load_study
from evenhand.records.plans import Plan, Slot
from evenhand.store.workbench import Workbench

STUDY = "quay"


def score_plan(wb: Workbench) -> Plan:
    """Two to five further runs of each, of the test that is unsettled."""
    return make_plan(wb, STUDY, Terms(looks=(5, 8), tests=("render",)), seed=4, now=NOW)


def slot_of_plan(wb: Workbench, slot: int) -> tuple[Plan, Slot]:
    """The standing plan and one of its slots."""
    plan = load_study(wb, STUDY).plan
    chosen = plan.slot(slot) if plan else None
    assert plan
    assert chosen
    return plan, chosen


def filed(wb: Workbench, *, slot: int, minutes: float) -> str:
    """The run of a score that came for a slot so many minutes after the plan was made."""
    plan, own = slot_of_plan(wb, slot)
    filing = Filing(
        study=STUDY, test=own.test, setup=own.setup, plan=plan.id, slot=slot, score=11.0 + minutes / 1000
    )
    return land_score(wb, filing, by="phone", now=NOW + timedelta(minutes=minutes)).run.run.id
