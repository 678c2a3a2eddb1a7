"""What is done at the bench beside a run: begin its warm-up, hide names."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from evenhand.desk.bench.plan_written import write_note
from evenhand.errors import NotFound
from evenhand.records.plans import BenchNote, Plan, Slot
from evenhand.store import plans as plan_store
from evenhand.store.workbench import Workbench

WARMING, MASKED = "warming", "masked"
WHOLE_PLAN = 0  # the slot under which what holds for all of a plan is written


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A slot of a plan, and who writes about it when."""

    plan: int
    slot: int
    by: str
    now: datetime


def begin_warm_up(wb: Workbench, place: Place) -> None:
    """The warm-up before a run begins now: every screen counts down from here. Raises NotFound."""
    slot_at(wb, place)
    _write(wb, place, WARMING, place.now.isoformat())


def stop_warm_up(wb: Workbench, place: Place) -> None:
    """The warm-up is over, or was begun by mistake. Raises NotFound."""
    slot_at(wb, place)
    _write(wb, place, WARMING, "")


def warm_up_left(slot: Slot, notes: dict[str, str], now: datetime) -> timedelta | None:
    """How long the warm-up that was begun still takes; None where none was.

    >>> from datetime import UTC
    >>> slot = Slot(number=1, block=1, test="t", setup="s", boot="1", order=1, minutes=9, warm_up=5)
    >>> begun = datetime(2031, 5, 4, 10, 0, tzinfo=UTC)
    >>> warm_up_left(slot, {"warming": begun.isoformat()}, begun + timedelta(minutes=2))
    datetime.timedelta(seconds=180)
    """
    begun = notes.get(WARMING, "")
    if not begun:
        return None
    return max(timedelta(0), datetime.fromisoformat(begun) + timedelta(minutes=slot.warm_up) - now)


def mask_plan(wb: Workbench, plan: int, *, masked: bool, by: str, now: datetime) -> None:
    """Writes down that names are hidden until the plan is done, or shown again. Raises NotFound."""
    plan_store.plan(wb, plan)
    place = Place(plan=plan, slot=WHOLE_PLAN, by=by, now=now)
    _write(wb, place, MASKED, "yes" if masked else "")


def slot_at(wb: Workbench, place: Place) -> Plan:
    """The plan of a place. Raises NotFound where it has no such slot."""
    plan = plan_store.plan(wb, place.plan)
    if plan.slot(place.slot) is None:
        raise NotFound(
            f"plan {plan.id} has no slot {place.slot}", where=f"study {plan.study}", todo="see the bench page"
        )
    return plan


def _write(wb: Workbench, place: Place, key: str, value: str) -> None:
    write_note(
        wb,
        BenchNote(plan=place.plan, slot=place.slot, key=key, value=value, by=place.by, at=place.now),
    )
