"""What rigs tell of their machines: taken in as it comes, noted of a part once somebody says which one it is.

What is on record already is never overwritten: where a rig tells otherwise, both are shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from evenhand.desk.parts.items import facts_by_part
from evenhand.desk.parts.known import checked_value, fact_kind
from evenhand.desk.parts.noting import kept
from evenhand.errors import BadRecord, NotFound
from evenhand.fit.known import FactKind
from evenhand.fit.words import word
from evenhand.publish.dates import day_words
from evenhand.records.builds import Build, Part
from evenhand.records.inventories import Inventory, Told, ToldPart, Untold
from evenhand.records.part_facts import PartFact
from evenhand.store import inventories as store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class FactTold:
    """One fact that a rig tells of a part, and what `stands` of it there, None where nobody noted it.

    `agrees` says that both are the same.
    """

    about: FactKind
    value: Any
    stands: PartFact | None
    agrees: bool

    @property
    def new(self) -> bool:
        """Whether it can be noted: nothing is known of it yet."""
        return self.stands is None or self.stands.value is None


@dataclass(frozen=True, slots=True, kw_only=True)
class PartMet:
    """A told part with its place in the inventory: the part that it was said to be, or seems to be.

    `said` tells whether anybody has said it; `likely` are the parts that it may be, the likeliest first.
    `facts` are those of the part that it is, or seems to be.
    """

    at: int
    told: ToldPart
    said: bool
    part: Part | None
    likely: tuple[Part, ...]
    facts: tuple[FactTold, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class InventoryMet:
    """What one rig told, part by part; `build` is the machine that it is, where that is known."""

    inventory: Inventory
    build: Build | None
    parts: tuple[PartMet, ...]


def take_in(
    wb: Workbench, rig: str, name: str, build: str | None, *, parts: Sequence[Mapping[str, Any]],
    untold: Sequence[Mapping[str, str]], now: datetime,
) -> None:  # fmt: skip
    """Puts on record what a rig tells of its machine; facts that no part of a kind has are left out."""
    met: dict[tuple[str, str], int] = {}
    found = []
    for each in parts:
        key = (str(each["kind"]), str(each["name"]))
        met[key] = met.get(key, 0) + 1
        facts = dict(_usable(key[0], each["facts"]))
        part = ToldPart(kind=key[0], name=key[1], nth=met[key], facts=facts, source=str(each["source"]))
        found.append(part)
    lacking = tuple(Untold(what=each["what"], why=each["why"]) for each in untold)
    told = Inventory(rig=rig, name=name, build=build, parts=tuple(found), untold=lacking, at=now)
    if told.parts or told.untold:
        store.save_inventory(wb, told)


def _usable(kind: str, facts: Mapping[str, Any]) -> Iterable[tuple[str, Any]]:
    for key, value in facts.items():
        try:
            checked = checked_value(kind, key, value, where="a rig")
        except BadRecord:
            continue
        if checked is not None:
            yield key, checked


def told_by_rigs(wb: Workbench) -> tuple[InventoryMet, ...]:
    """What every rig told last, the latest first, beside what is on record."""
    with wb.reading():
        found = store.inventories(wb)
        if not found:
            return ()
        parts = {part.key: part for part in shelves.every(wb, Part)}
        builds = {build.key: build for build in shelves.every(wb, Build)}
        facts, said = facts_by_part(wb, parts), store.matches(wb)
    desk = _Meeting(parts=parts, facts=facts, said=said)
    return tuple(
        InventoryMet(
            inventory=each,
            build=builds.get(each.build or ""),
            parts=tuple(
                desk.met(each, builds.get(each.build or ""), at, part) for at, part in enumerate(each.parts)
            ),
        )
        for each in reversed(found)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Meeting:
    """Holds what rigs tell against what is on record."""

    parts: Mapping[str, Part]
    facts: Mapping[str, Mapping[str, PartFact]]
    said: Mapping[Told, str | None]

    def met(self, inventory: Inventory, build: Build | None, at: int, told: ToldPart) -> PartMet:
        """One told part."""
        name = told_name(inventory, told)
        likely = self._likely(build, told)
        own = self.parts.get(self.said.get(name) or "")
        part = own if name in self.said else next(iter(likely), None)
        facts = tuple(self._fact(told, part, key) for key in told.facts) if part else ()
        return PartMet(at=at, told=told, said=name in self.said, part=part, likely=likely, facts=facts)

    def _likely(self, build: Build | None, told: ToldPart) -> tuple[Part, ...]:
        """The parts of its kind: those of the rig's build first, then by how many words they share."""
        own = set(build.parts) if build else set()
        words = set(told.name.casefold().split())
        every = [part for part in self.parts.values() if word(part.kind) == word(told.kind)]
        return tuple(
            sorted(
                every,
                key=lambda part: (
                    part.key not in own,
                    -len(words & set(part.name.casefold().split())),
                    part.name.casefold(),
                ),
            )
        )

    def _fact(self, told: ToldPart, part: Part, key: str) -> FactTold:
        value, stands = told.facts[key], self.facts.get(part.key, {}).get(key)
        agrees = stands is not None and _alike(stands.value, value)
        return FactTold(about=fact_kind(told.kind, key), value=value, stands=stands, agrees=agrees)


def _alike(one: Any, other: Any) -> bool:
    """Whether two values say the same: words but for case and spaces, lists in any order."""
    if isinstance(one, list | tuple) and isinstance(other, list | tuple):
        return sorted(word(str(each)) for each in one) == sorted(word(str(each)) for each in other)
    if isinstance(one, str) and isinstance(other, str):
        return word(one) == word(other)
    return bool(one == other)


def told_name(inventory: Inventory, told: ToldPart) -> Told:
    """What names a told part for good."""
    return Told(rig=inventory.rig, kind=told.kind, name=told.name, nth=told.nth)


def say_part(
    wb: Workbench, number: int, at: int, part: str, *, now: datetime, today: date
) -> tuple[PartFact, ...]:
    """Says that a told part is this one, "" for none of the workbench's; notes what was not known of it.

    Gives the facts that were noted. Raises NotFound, and BadRecord for a part of another kind.
    """
    with wb.writing():
        inventory = store.inventory_numbered(wb, number)
        if not 0 <= at < len(inventory.parts):
            raise NotFound(f"it tells of no part {at}", where=inventory.name, todo="load the page again")
        told = inventory.parts[at]
        if not part:
            store.save_match(wb, told_name(inventory, told), None, at=now)
            return ()
        of = shelves.one(wb, Part, part)
        if word(of.kind) != word(told.kind):
            found = f"{of.name} is a {of.kind}, and a {told.kind} is told of"
            raise BadRecord(found, where=inventory.name, todo="choose a part of its kind")
        store.save_match(wb, told_name(inventory, told), of.key, at=now)
        stands = facts_by_part(wb, [of.key]).get(of.key, {})
        fresh = [
            PartFact(part=of.key, fact=key, value=value, source=source_of(inventory), on=today)
            for key, value in told.facts.items()
            if key not in stands or stands[key].value is None
        ]
        return kept(wb, of.key, fresh, now=now)


def source_of(inventory: Inventory) -> str:
    """Where facts of an inventory are from, in words."""
    return f"read by the rig {inventory.name} on {day_words(inventory.at.date())}"
