"""Put machines on record and change them: parts, builds made of them, and the states they are measured in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from evenhand.desk.study.checking import (
    Checked,
    Given,
    checked_build,
    checked_part,
    checked_setup,
    sound,
)
from evenhand.desk.study.naming import key_for
from evenhand.desk.study.shelving import Kept, as_table, judge_again, keep, refuse_unseen
from evenhand.desk.study.used_by import builds_of, users_of
from evenhand.errors import NotFound, nearest
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

KINDS = ("processor", "board", "graphics", "memory", "storage", "supply", "case", "cooler")
SLOTS = (1, 2, 3, 4, 5)


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedPart:
    """A part by kind and name: one that is on the workbench under both, or else a new one."""

    kind: str
    name: str


def part_named(wb: Workbench, part: NamedPart, *, now: datetime) -> str:
    """The key of the part of this kind and name; it is put on record where it is not there yet."""
    known = shelves.every(wb, Part)
    same = [each for each in known if (each.kind, each.name) == (part.kind, part.name)]
    if same:
        return same[0].key
    key = key_for(part.name, {each.key for each in known}, otherwise="part")
    return keep(wb, sound(checked_part({"key": key, "kind": part.kind, "name": part.name})), now=now).key


def add_build(wb: Workbench, study: str, given: Given, *, setup: Mapping[str, object], now: datetime) -> Kept:
    """A new build with its first setup, which the study compares. Raises BadRecord that names the field.

    `given` has the keys of a build's table; `parts` may hold `NamedPart`s. `setup` has those of a setup's
    table without its build. The change that is told is the study's.
    """
    with wb.writing():
        record = shelves.one(wb, Study, study)
        taken = {build.key for build in shelves.every(wb, Build)}
        key = given.get("key") or key_for(str(given.get("name", "")), taken, otherwise="build")
        parts = part_keys(wb, given.get("parts", ()), now=now)
        build = sound(checked_build(wb, {**given, "key": key, "parts": parts}, beside=builds_of(wb, record)))
        keep(wb, build, now=now)
        kept = add_setup(wb, study, {**setup, "build": build.key}, now=now)
    return Kept(key=build.key, change=kept.change)


def drafted_build(wb: Workbench, study: str, given: Given) -> Checked[Build]:
    """A build that is to be added, as far as it can be checked before its parts are on record."""
    record = shelves.one(wb, Study, study)
    return checked_build(wb, {**given, "key": "build", "parts": []}, beside=builds_of(wb, record))


def redrafted_build(wb: Workbench, before: Build, given: Given) -> Checked[Build]:
    """A build filled in anew, as far as it can be checked before its parts are on record."""
    filled = {**as_table(before), **given, "key": before.key, "parts": []}
    return checked_build(wb, filled, beside=beside(wb, before))


def redrafted_part(before: Part, given: Given) -> Checked[Part]:
    """A part filled in anew."""
    return checked_part({**as_table(before), **given, "key": before.key})


def part_keys(wb: Workbench, parts: Sequence[str | NamedPart], *, now: datetime) -> list[str]:
    """The keys of parts, some of them by kind and name."""
    return [each if isinstance(each, str) else part_named(wb, each, now=now) for each in parts]


def change_build(wb: Workbench, key: str, given: Given, *, now: datetime, seen: int | None = None) -> Kept:
    """A build as it is filled in, in every study that uses it. Raises BadRecord that names the field."""
    with wb.writing():
        before = shelves.one(wb, Build, key)
        refuse_unseen(wb, before, seen)
        parts = part_keys(wb, given.get("parts", before.parts), now=now)
        if Counter(parts) == Counter(before.parts):
            parts = list(before.parts)  # a form has an order of its own, and the record keeps its
        filled = {**as_table(before), **given, "parts": parts, "key": key}
        after = sound(checked_build(wb, filled, beside=beside(wb, before)))
        kept = keep(wb, after, now=now)
    if kept.change:
        judge_again(wb, after, now=now)
    return kept


def beside(wb: Workbench, build: Build) -> tuple[Build, ...]:
    """The builds that stand in one chart with it, in whichever study."""
    found = {other.key: other for study in users_of(wb, build) for other in builds_of(wb, study)}
    return tuple(found.values())


def free_slots(wb: Workbench, study: str, *, of: str = "") -> tuple[int, ...]:
    """The colours that no other build of the study wears."""
    worn = {build.slot for build in builds_of(wb, shelves.one(wb, Study, study)) if build.key != of}
    return tuple(slot for slot in SLOTS if slot not in worn)


def change_part(wb: Workbench, key: str, given: Given, *, now: datetime, seen: int | None = None) -> Kept:
    """A part's kind, name or note, in every build that has it. Raises BadRecord that names the field."""
    with wb.writing():
        before = shelves.one(wb, Part, key)
        refuse_unseen(wb, before, seen)
        after = sound(redrafted_part(before, given))
        kept = keep(wb, after, now=now)
    if kept.change:
        judge_again(wb, after, now=now)
    return kept


def add_setup(wb: Workbench, study: str, given: Given, *, now: datetime) -> Kept:
    """A new setup of a build, which the study compares. Raises BadRecord; the change told is the study's."""
    with wb.writing():
        setup = sound(drafted_setup(wb, given))
        keep(wb, setup, now=now)
        return take_setup(wb, study, setup.key, now=now)


def drafted_setup(wb: Workbench, given: Given) -> Checked[Setup]:
    """A setup that is to be added: its key is made from its build's and its state."""
    taken = {setup.key for setup in shelves.every(wb, Setup)}
    named = f"{given.get('build', '')} {given.get('state') or 'stock'}"
    key = given.get("key") or key_for(named, taken, otherwise="setup")
    return checked_setup(wb, _told({**given, "key": key}))


def change_setup(wb: Workbench, key: str, given: Given, *, now: datetime, seen: int | None = None) -> Kept:
    """A setup as it is filled in, in every study that uses it. Raises BadRecord that names the field."""
    with wb.writing():
        before = shelves.one(wb, Setup, key)
        refuse_unseen(wb, before, seen)
        after = sound(redrafted_setup(wb, before, given))
        kept = keep(wb, after, now=now)
    if kept.change:
        judge_again(wb, after, now=now)
    return kept


def redrafted_setup(wb: Workbench, before: Setup, given: Given) -> Checked[Setup]:
    """A setup filled in anew; one that was called after its state is called after its new one.

    A name of None takes its own name away.
    """
    own = as_table(before)
    named_after = f"{shelves.one(wb, Build, before.build).name}, {before.state}"
    if before.name == named_after:
        del own["name"]
    return checked_setup(wb, _told({**own, **given, "key": before.key}))


def _told(given: Mapping[str, object]) -> dict[str, object]:
    return {key: value for key, value in given.items() if value is not None}


def take_setup(wb: Workbench, study: str, key: str, *, now: datetime) -> Kept:
    """A setup that is on the workbench, last in the study. Raises BadRecord where its colour is worn."""
    with wb.writing():
        record, setup = shelves.one(wb, Study, study), shelves.one(wb, Setup, key)
        if setup.key in record.setups:
            return Kept(key=setup.key)
        build = shelves.one(wb, Build, setup.build)
        sound(checked_build(wb, as_table(build), beside=builds_of(wb, record)))
        kept = keep(wb, replace(record, setups=(*record.setups, setup.key)), now=now)
    if kept.change:
        judge_again(wb, record, now=now)
    return Kept(key=setup.key, change=kept.change)


def drop_setup(wb: Workbench, study: str, key: str, *, now: datetime) -> Kept:
    """Takes a setup out of the study; the setup, its build and their runs stay on record."""
    with wb.writing():
        record = shelves.one(wb, Study, study)
        if key not in record.setups:
            raise NotFound(
                f"'{key}' is not a setup of this study", where=study, todo=nearest(key, record.setups)
            )
        kept = keep(wb, replace(record, setups=tuple(s for s in record.setups if s != key)), now=now)
    if kept.change:
        judge_again(wb, record, now=now)
    return Kept(key=key, change=kept.change)
