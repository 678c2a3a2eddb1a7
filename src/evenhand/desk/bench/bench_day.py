"""What is done at the bench beside a run: begin its warm-up, hide names, take photos."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass
from datetime import datetime, timedelta

from evenhand.desk.bench.plan_written import write_note
from evenhand.desk.logs.identity import digest
from evenhand.desk.study.away import refuse_away
from evenhand.errors import BadRecord, NotFound
from evenhand.images.reading import read_picture
from evenhand.records.plans import Attachment, BenchNote, Plan, Slot
from evenhand.store import attachments, originals
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


def photograph(wb: Workbench, place: Place, data: bytes, *, name: str) -> Attachment:
    """Keeps a photo of a slot, such as one of the settings. Raises BadRecord where it is no picture."""
    plan, picture, mark = slot_at(wb, place), read_picture(data), digest(data)
    with wb.writing():
        refuse_away(wb, plan.study)
        originals.keep(wb, data, name=name or "photo", digest=mark)
        return attachments.attach(
            wb,
            Attachment(
                study=plan.study, digest=mark, name=name or "photo", media=picture.media, by=place.by,
                at=place.now, plan=place.plan, slot=place.slot,
            ),
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoHanded:
    """A photo as it is handed out, and what it is known by."""

    media: str
    data: bytes
    mark: str


def photo(wb: Workbench, number: int) -> PhotoHanded:
    """A photo without what its camera noted. Raises NotFound.

    One that was kept before photos were looked through, and cannot be, is handed out as it came.
    """
    found = attachments.attachment(wb, number)
    data = originals.original(wb, found.digest)
    with contextlib.suppress(BadRecord):
        data = read_picture(data).data
    return PhotoHanded(media=found.media, data=data, mark=found.digest)


def photos_of(wb: Workbench, plan: Plan, slot: int) -> tuple[Attachment, ...]:
    """The photos of a slot, the first first."""
    every = attachments.attachments_of(wb, plan.study)
    return tuple(each for each in every if (each.plan, each.slot) == (plan.id, slot))


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
