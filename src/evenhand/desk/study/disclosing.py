"""How the reviewer stands to the parts of a study: put down, taken back, listed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from evenhand.desk.on_record import load_study
from evenhand.desk.publication.snapshots import parts_of
from evenhand.errors import NotFound
from evenhand.records.builds import Part
from evenhand.records.publications import Disclosure, How
from evenhand.store import disclosures, shelves
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class PartDisclosed:
    """A part of a study with everything that stands of it; nothing said is told as that."""

    part: Part
    said: Sequence[Disclosure]


def disclose(wb: Workbench, part: str, how: How, *, by: str, note: str, now: datetime) -> Disclosure:
    """Puts down how the reviewer stands to a part. Raises NotFound with the nearest part."""
    shelves.one(wb, Part, part)
    return disclosures.add_disclosure(wb, Disclosure(part=part, how=how, by=by, note=note, at=now))


def take_disclosure_back(wb: Workbench, part: str, how: How, *, note: str, now: datetime) -> Disclosure:
    """What was put down of a part holds no more; it stays on record. Raises NotFound where nothing stands."""
    shelves.one(wb, Part, part)
    if how not in {each.how for each in disclosures.disclosures_of(wb, [part])}:
        raise NotFound(f"nothing stands of '{part}' as {how}", where=str(wb.path), todo="see `disclosures`")
    back = Disclosure(part=part, how=how, note=note, at=now, stands=False)
    return disclosures.add_disclosure(wb, back)


def disclosed(wb: Workbench, study: str) -> tuple[PartDisclosed, ...]:
    """Every part of a study with what stands of it. Raises NotFound where there is no such study."""
    parts = parts_of(wb, load_study(wb, study))
    said = disclosures.disclosures_of(wb, parts)
    return tuple(
        PartDisclosed(part=part, said=[d for d in said if d.part == key]) for key, part in parts.items()
    )
