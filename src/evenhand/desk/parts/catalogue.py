"""Every part of the workbench: what is known of it, which builds have it; and parts that no build has yet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from evenhand.desk.parts.items import facts_by_part, item_of
from evenhand.desk.study.building import KINDS
from evenhand.desk.study.checking import Checked, FieldProblem, Given, checked_part, sound
from evenhand.desk.study.naming import key_for
from evenhand.desk.study.shelving import Kept, keep
from evenhand.fit.known import fact_kinds
from evenhand.fit.words import word
from evenhand.records.builds import Build, Part
from evenhand.records.part_facts import PartFact
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

EVERY_KIND = (*KINDS, "fans", "system licence", "screen", "desk item")
"""Whatever belongs to a machine and its place, in the order in which it is listed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Listed:
    """A part in the catalogue: of `asked` facts that an answer may wait for so many are `known`.

    `builds` are those that have it. `alike` are the keys of other parts of its kind and name.
    """

    part: Part
    known: int
    asked: int
    builds: tuple[Build, ...]
    alike: tuple[str, ...] = ()


def catalogue(wb: Workbench) -> tuple[Listed, ...]:
    """Every part, by kind in the usual order, then by name."""
    with wb.reading():
        parts, builds = shelves.every(wb, Part), shelves.every(wb, Build)
        facts = facts_by_part(wb, (part.key for part in parts))
    called: dict[tuple[str, str], list[str]] = {}
    for part in parts:
        called.setdefault(_called(part.kind, part.name), []).append(part.key)
    listed = (
        _listed(part, facts.get(part.key, {}), called[_called(part.kind, part.name)], builds)
        for part in parts
    )
    return tuple(sorted(listed, key=lambda each: (place_of(each.part.kind), each.part.name.casefold())))


def _listed(
    part: Part, facts: Mapping[str, PartFact], alike: Sequence[str], builds: Sequence[Build]
) -> Listed:
    asked = {key for key, about in fact_kinds().get(part.kind, {}).items() if not about.spare}
    return Listed(
        part=part,
        known=len(asked & item_of(part, facts).facts.keys()),
        asked=len(asked),
        builds=tuple(build for build in builds if part.key in build.parts),
        alike=tuple(key for key in alike if key != part.key),
    )


def _called(kind: str, name: str) -> tuple[str, str]:
    """Kind and name as they are compared: but for case, spaces, hyphens and underscores."""
    return word(kind), word(name)


def unruled_words(kind: str) -> str:
    """That no rule knows a kind in own words, with the kinds that are known; "" for one of these."""
    if any(word(kind) == word(each) for each in EVERY_KIND):
        return ""
    return (
        f"No rule knows the kind “{kind}”: whether it goes together with the rest is not asked, and it "
        f"counts for no power. Write one of these if it is one: {', '.join(EVERY_KIND)}."
    )


def place_of(kind: str) -> int:
    """Where a kind stands in lists; unusual ones last."""
    return EVERY_KIND.index(kind) if kind in EVERY_KIND else len(EVERY_KIND)


def is_alike(part: Part, kind: str, name: str) -> bool:
    """Whether a part has this kind and name."""
    return _called(part.kind, part.name) == _called(kind, name)


def part_alike(wb: Workbench, kind: str, name: str) -> Part | None:
    """The part of this kind and name that is there already."""
    return next((each for each in shelves.every(wb, Part) if is_alike(each, kind, name)), None)


def drafted_part(wb: Workbench, given: Given) -> Checked[Part]:
    """A part that is to be added; whether it is one that is there already is asked at its name."""
    kind, name = str(given.get("kind") or ""), str(given.get("name") or "")
    taken = {part.key for part in shelves.every(wb, Part)}
    key = str(given.get("key") or key_for(name, taken, otherwise="part"))
    checked = checked_part({**given, "key": key})
    there = part_alike(wb, kind, name)
    if checked.record is None or (there is None and key not in taken):
        return checked
    if there is None:
        found, todo = f"'{key}' is the key of another part", "give it another key"
    else:
        found = f"a {there.kind} called {there.name} is on this workbench: is it the same part?"
        todo = "note its facts there, or tell the two apart by name: a revision, a size"
    return Checked(
        record=None, problems=(FieldProblem(field="name" if there else "key", found=found, todo=todo),)
    )


def add_part(wb: Workbench, given: Given, *, now: datetime) -> Kept:
    """A part that no build has yet. Raises BadRecord that names the field."""
    with wb.writing():
        return keep(wb, sound(drafted_part(wb, given)), now=now)
