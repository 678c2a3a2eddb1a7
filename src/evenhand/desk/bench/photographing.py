"""Photos beside a slot of a plan: kept as they came, handed out without what the camera noted."""

from __future__ import annotations

import contextlib
from dataclasses import dataclass

from evenhand.desk.bench.bench_day import Place, slot_at
from evenhand.desk.logs.identity import digest
from evenhand.desk.study.away import refuse_away
from evenhand.errors import BadRecord
from evenhand.images.reading import read_picture
from evenhand.records.plans import Attachment, Plan
from evenhand.store import attachments, originals
from evenhand.store.workbench import Workbench


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
