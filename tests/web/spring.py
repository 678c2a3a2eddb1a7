"""The small study Spring: what the tests of the bench ask of its plan, and land under it."""

from __future__ import annotations

from tests.web.conftest import NOW

from evenhand.desk.bench.landing import Filing, land_score
from evenhand.desk.bench.plan_standing import SlotNow
from evenhand.desk.bench.planning import plan_now
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk
from evenhand.records.plans import Slot

BENCH = "/studies/spring/bench"


def due(wb: Desk) -> dict[str, str]:
    """The form fields of the first slot that is due."""
    plan = plan_now(wb, "spring")
    assert plan
    return {"plan": str(plan.plan.id), "slot": str(plan.due[0].slot.number)}


def slots_of(wb: Desk) -> tuple[SlotNow, ...]:
    plan = plan_now(wb, "spring")
    assert plan
    return plan.slots


def plan_id(wb: Desk) -> int:
    plan = plan_now(wb, "spring")
    assert plan
    return plan.plan.id


def land_export(wb: Desk, score: float, *, wall_w: float | None = None) -> None:
    """A run of the first setup under its next open slot."""
    setup = load_study(wb, "spring").study.setups[0]
    wanted = ("export", setup)
    slot = next(n.slot for n in slots_of(wb) if (n.slot.test, n.slot.setup) == wanted and n.state.open)
    land_slot(wb, slot, score, wall_w=wall_w)


def land_slot(wb: Desk, slot: Slot, score: float = 61.0, *, wall_w: float | None = None) -> None:
    """A score under a slot."""
    filing = Filing(
        study="spring", test=slot.test, setup=slot.setup, score=score, plan=plan_id(wb), slot=slot.number,
        boot=slot.boot, wall_w=wall_w,
    )  # fmt: skip
    land_score(wb, filing, by="phone", now=NOW)
