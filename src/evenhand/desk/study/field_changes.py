"""What became another in a record, field by field: the study, what it names, and its runs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from evenhand.desk.on_record import StudyOnRecord
from evenhand.folders.study_folder import StudyFolder
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store.history import Change, history_of, run_changes_of
from evenhand.store.workbench import Workbench

TABLES: Mapping[str, str] = {
    "study": "studies",
    "test": "tests",
    "setup": "setups",
    "build": "builds",
    "part": "parts",
}
# What a run's author wrote of it, besides its number and the files it comes from.
FACTS = (
    "label",
    "boot",
    "order",
    "started_at",
    "duration_s",
    "ambient_c",
    "wall_w",
    "stamps",
    "sensors",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldChange:
    """One field of one record that became another.

    `record` is "study", "test", "setup", "build", "part", "run" or "layout"; `label` is what a run was called
    then.
    """

    id: int
    at: datetime
    record: str
    key: str
    field: str
    before: Any
    after: Any
    label: str = ""


def changes_of(wb: Workbench, record: StudyOnRecord) -> tuple[FieldChange, ...]:
    """Every change of the study's own record, its tests, setups, builds and parts, the first first."""
    keys = {"study": (record.study.key,), "test": record.tests, "setup": record.setups}
    return changes_at(wb, {**keys, "build": record.builds, "part": parts_of(record.builds.values())})


def parts_of(builds: Iterable[Build]) -> tuple[str, ...]:
    """The keys of all parts of these builds."""
    return tuple(dict.fromkeys(part for build in builds for part in build.parts))


def changes_known(wb: Workbench, found: StudyFolder) -> frozenset[int] | None:
    """Which changes of what a folder brings are on record already; None where the study is new."""
    if not any(change.before is None for change in history_of(wb, "studies", found.study.key)):
        return None
    return frozenset(each.id for each in changes_of_folder(wb, found))


def changes_since(wb: Workbench, found: StudyFolder, known: frozenset[int]) -> tuple[FieldChange, ...]:
    """Which came with the folder."""
    return tuple(each for each in changes_of_folder(wb, found) if each.id not in known)


def changes_of_folder(wb: Workbench, found: StudyFolder) -> tuple[FieldChange, ...]:
    """Every change of the study and of each record that a folder brings, of its runs' scores and facts."""
    brought: Mapping[str, Sequence[Study | Test | Setup | Build | Part]] = {
        "study": (found.study,),
        "test": found.tests,
        "setup": found.setups,
        "build": found.builds,
        "part": found.parts,
    }
    of_records = changes_at(wb, {noun: [each.key for each in records] for noun, records in brought.items()})
    of_runs = (*changes_of_scores(wb, found.study.key), *changes_of_facts(wb, found.study.key))
    return tuple(sorted((*of_records, *of_runs), key=lambda each: each.id))


def changes_of_scores(wb: Workbench, study: str) -> Iterator[FieldChange]:
    """Each score of a study's runs that became another, and each window of their own that they were given.

    A first score of a run that had none is no change.
    """
    had: set[str] = set()
    for change in run_changes_of(wb, study):
        for each in fields_of(change, "run"):
            if each.field == "window":
                yield each
            elif each.field == "score" and (each.before is not None or each.key in had):
                had.add(each.key)
                yield each


def changes_of_facts(wb: Workbench, study: str) -> Iterator[FieldChange]:
    """Each fact of a study's runs, such as a boot or a room temperature, that became another."""
    for change in run_changes_of(wb, study):
        yield from filter(is_fact, fields_of(change, "run"))


def is_fact(change: FieldChange) -> bool:
    """Whether it is what a run's author wrote of it that changed."""
    return change.record == "run" and change.field in FACTS


def changes_at(wb: Workbench, places: Mapping[str, Iterable[str]]) -> tuple[FieldChange, ...]:
    """Every change of these records, by what they are and their keys."""
    found = [
        each
        for noun, keys in places.items()
        for key in keys
        for change in history_of(wb, TABLES[noun], key)
        for each in fields_of(change, noun)
    ]
    return tuple(sorted(found, key=lambda each: each.id))


def fields_of(change: Change, noun: str) -> Iterator[FieldChange]:
    """Each field that one change of a record touched; none where the record was new."""
    if change.before is None:
        return
    for field, after in change.after.items():
        before = change.before.get(field)
        if before != after:
            yield FieldChange(
                id=change.id,
                at=change.at,
                record=noun,
                key=change.key,
                field=field,
                before=before,
                after=after,
                label=str(change.after.get("label", "")),
            )
