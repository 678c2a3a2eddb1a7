"""Setups that the standing plan does without: a rig dropped out, and the rest was planned anew."""

from __future__ import annotations

from collections.abc import Iterable

from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.live_finding import Gone
from evenhand.records.plans import Plan
from evenhand.records.runs import RunState


def dropped_setups(record: StudyOnRecord) -> frozenset[str]:
    """The setups that were planned for once, and for which the standing plan laid out nothing anew.

    Only those whose runs it laid out for others fell short then. A setup that came to the study after its
    plans is none of them: nobody has dropped it.
    """
    plan = record.plan
    if plan is None:
        return frozenset()
    earlier = _before(record.plans, plan)
    known = {slot for each in earlier for slot in each.slots}
    new = {(slot.test, slot.setup) for slot in plan.slots if slot not in known}
    tests, laid = {test for test, _ in new}, {setup for _, setup in new}
    once = {slot.setup for each in earlier for slot in each.slots} & set(record.study.setups)
    return frozenset(
        setup
        for setup in once - laid
        if any(_kept(record, plan, (test, setup)) < max(plan.looks, default=0) for test in tests)
    )


def gone_of(record: StudyOnRecord, setups: Iterable[str]) -> Gone:
    """Every test of these setups, with the runs that count or wait in it."""
    return {
        (test, setup): sum(
            each.state.counts or each.state is RunState.IN_DOUBT for each in record.cell(test, setup)
        )
        for setup in setups
        for test in record.tests
    }


def _before(plans: Iterable[Plan], plan: Plan) -> list[Plan]:
    """The plans before the first one with these slots: a plan that stands again is no new one."""
    before: list[Plan] = []
    for each in plans:
        if each.slots == plan.slots:
            break
        before.append(each)
    return before


def _kept(record: StudyOnRecord, plan: Plan, cell: tuple[str, str]) -> int:
    """The runs of a cell that the plan took over from earlier ones, and those made outside any."""
    boots = {slot.boot for each in record.plans for slot in each.slots}
    slots = sum((slot.test, slot.setup) == cell for slot in plan.slots)
    return slots + sum(each.run.boot not in boots for each in record.cell(*cell) if each.state.counts)
