"""Parts, builds, setups and tests that several studies use: one study never changes them for another."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import fields

from evenhand.errors import BadRecord
from evenhand.folders.study_folder import StudyFolder
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.records.trials import Tuned
from evenhand.store import runs as run_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

Shared = Part | Build | Setup | Test


def refuse_shared_changes(wb: Workbench, found: StudyFolder) -> None:
    """Raises BadRecord where the folder would change what another study on record uses."""
    there = {(type(record), record.key): (record, user) for record, user in used_elsewhere(wb, found)}
    shared: tuple[Shared, ...] = (*found.parts, *found.builds, *found.setups, *found.tests)
    for record in shared:
        before, user = there.get((type(record), record.key), (record, ""))
        if before != record:
            raise clash(before, record, user, found)


def used_elsewhere(wb: Workbench, found: StudyFolder) -> tuple[tuple[Shared, str], ...]:
    """Every part, build, setup and test that another study is about, with that study's key, at one moment.

    A study has them by name or through its runs: it may hold runs that it does not compare.
    """
    with wb.reading():  # a study that another process brings in just now is there whole or not at all
        return tuple(_used_elsewhere(wb, found))


def _used_elsewhere(wb: Workbench, found: StudyFolder) -> Iterator[tuple[Shared, str]]:
    parts = {part.key: part for part in shelves.every(wb, Part)}
    builds = {build.key: build for build in shelves.every(wb, Build)}
    setups = {setup.key: setup for setup in shelves.every(wb, Setup)}
    tests = {test.key: test for test in shelves.every(wb, Test)}
    for study in shelves.every(wb, Study):
        if study.key == found.study.key:
            continue
        runs = run_store.runs_of(wb, study.key)
        for name in dict.fromkeys((*study.tests, *(run.test for run in runs))):
            yield tests[name], study.key
        for name in dict.fromkeys((*study.setups, *(run.setup for run in runs))):
            build = builds[setups[name].build]
            yield setups[name], study.key
            yield build, study.key
            yield from ((parts[key], study.key) for key in build.parts)


def clash(before: Shared | Tuned, after: Shared | Tuned, user: str, found: StudyFolder) -> BadRecord:
    """Two studies mean different things by one key: which field, there and here."""
    was, now = ({f.name: getattr(each, f.name) for f in fields(each)} for each in (before, after))
    told = "; ".join(
        f"{name} is {in_words(was[name])} there, {in_words(now[name])} here"
        for name in was
        if was[name] != now[name]
    )
    if isinstance(after, Tuned):
        called = f"the tuned {after.part} of {after.setup}"
    else:
        called = f"{type(after).__name__.lower()} '{after.key}'"
    return BadRecord(
        f"{called} differs from what study '{user}' uses under that name: {told}",
        where=f"study '{found.study.key}'",
        todo="give it another key, or make both alike",
    )


def in_words(value: object) -> str:
    """A field's value as a study file would hold it."""
    if isinstance(value, Mapping):
        value = ", ".join(f"{key} = {each}" for key, each in value.items())
    if isinstance(value, tuple):
        value = ", ".join(map(str, value))
    return "not given" if value is None or value == "" else f"'{value}'"
