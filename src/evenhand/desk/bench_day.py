"""What is done at the bench beside a run: begin its warm-up, hide names, take photos."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from evenhand.desk.identity import digest
from evenhand.errors import BadRecord, NotFound
from evenhand.records.plans import Attachment, BenchNote, Plan, Slot
from evenhand.store import attachments, originals
from evenhand.store import plans as plan_store
from evenhand.store.workbench import Workbench

WARMING, MASKED = "warming", "masked"
WHOLE_PLAN = 0  # the slot under which what holds for all of a plan is written
MOST_PHOTO_BYTES = 25 * 2**20

# How the kinds of picture that browsers show begin; anything else is no photo, whatever it is called.
KINDS = (
    (b"\xff\xd8\xff", 0, "image/jpeg"),
    (b"\x89PNG\r\n\x1a\n", 0, "image/png"),
    (b"WEBP", 8, "image/webp"),
    (b"ftypavif", 4, "image/avif"),
)


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
    plan = slot_at(wb, place)
    media = media_of(data)
    if media is None or len(data) > MOST_PHOTO_BYTES:
        raise BadRecord(
            "this is no picture that browsers show" if media is None else "the picture is too large",
            where=name or "the photo",
            todo=f"send a JPEG, PNG, WebP or AVIF of at most {MOST_PHOTO_BYTES // 2**20} MB",
        )
    mark = digest(data)
    with wb.writing():
        originals.keep(wb, data, name=name or "photo", digest=mark)
        return attachments.attach(
            wb,
            Attachment(
                study=plan.study, digest=mark, name=name or "photo", media=media, by=place.by,
                at=place.now, plan=place.plan, slot=place.slot,
            ),
        )  # fmt: skip


def media_of(data: bytes) -> str | None:
    r"""What kind of picture bytes are, by how they begin; None where they are none.

    >>> media_of(b"\x89PNG\r\n\x1a\n..."), media_of(b"<svg onload=...")
    ('image/png', None)
    """
    return next((media for begin, at, media in KINDS if data[at : at + len(begin)] == begin), None)


def photo(wb: Workbench, number: int) -> tuple[str, bytes]:
    """The kind and the bytes of a photo. Raises NotFound."""
    found = attachments.attachment(wb, number)
    return found.media, originals.original(wb, found.digest)


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
    plan_store.add_note(
        wb,
        BenchNote(plan=place.plan, slot=place.slot, key=key, value=value, by=place.by, at=place.now),
    )
