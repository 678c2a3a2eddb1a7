"""What a study fixed in advance, and what was changed of it once runs were on record."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.publish.numbers import counted, number, with_unit
from evenhand.store.history import Change, arrivals_of, history_of
from evenhand.store.workbench import Workbench

# What decides a comparison, by the field's name in its record, and what it is called.
OF_THE_STUDY = {
    "margin": "margin",
    "boot_allowance": "allowance for one boot",
    "ambient_c": "room temperature range",
    "setups": "list of setups",
    "tests": "list of tests",
    "weights": "weights",
}
OF_A_TEST = {"metric": "number compared", "direction": "better direction", "also": "further numbers compared"}


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldChange:
    """One field of one record that became another.

    `record` is "study", "test", "setup", "run" or "layout".
    """

    id: int
    at: datetime
    record: str
    key: str
    field: str
    before: Any
    after: Any


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedTerm:
    """A term of a study that was changed when `runs` runs were on record; `words` is the reservation."""

    change: FieldChange
    runs: int
    words: str


def changes_of(wb: Workbench, record: StudyOnRecord) -> tuple[FieldChange, ...]:
    """Every change of the study's own record, its tests and its setups, the first first."""
    places = [
        ("study", "studies", record.study.key),
        *(("test", "tests", key) for key in record.tests),
        *(("setup", "setups", key) for key in record.setups),
    ]
    found = [
        each
        for noun, table, key in places
        for change in history_of(wb, table, key)
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
            )


def changed_terms(wb: Workbench, record: StudyOnRecord) -> tuple[ChangedTerm, ...]:
    """The terms of the study that were changed after its first run was on record."""
    changes = [each for each in changes_of(wb, record) if is_term(each, record)]
    if not changes:
        return ()
    arrivals = [arrival.id for arrival in arrivals_of(wb, record.study.key)]
    counts = ((each, sum(arrival < each.id for arrival in arrivals)) for each in changes)
    return tuple(
        ChangedTerm(change=each, runs=runs, words=reservation(each, runs, record))
        for each, runs in counts
        if runs
    )


def is_term(change: FieldChange, record: StudyOnRecord) -> bool:
    """Whether a change bears on what the comparison says."""
    if change.record == "study":
        return change.field in OF_THE_STUDY
    return change.record == "test" and change.key in record.study.tests and change.field in OF_A_TEST


def reservation(change: FieldChange, runs: int, record: StudyOnRecord) -> str:
    """A changed term as a sentence."""
    if change.record == "study":
        what = OF_THE_STUDY[change.field]
    else:
        what = f"{OF_A_TEST[change.field]} in {record.tests[change.key].name}"
    verb = "were" if what.startswith(("weights", "further")) else "was"
    before, after = (value_words(change.field, value, record) for value in (change.before, change.after))
    had = counted(runs, "run was", "runs were")
    return (
        f"The {what} {verb} changed from {before} to {after} on {change.at:%Y-%m-%d}, after {had} on record."
    )


def value_words(field: str, value: Any, record: StudyOnRecord) -> str:
    """The value of a term as one says it."""
    if not value and value != 0:
        return "none"
    worded = _WORDED.get(field)
    return str(value) if worded is None else worded(value, record)


def _percent(value: float, _record: StudyOnRecord) -> str:
    return with_unit(f"{100 * value:.4g}", "%")


def _range(value: list[float], _record: StudyOnRecord) -> str:
    return with_unit(f"{value[0]:g} to {value[1]:g}", "°C")


def _list(value: list[str], record: StudyOnRecord) -> str:
    return ", ".join(name_of(key, record) for key in value)


def _weights(value: Mapping[str, float], record: StudyOnRecord) -> str:
    return ", ".join(f"{name_of(key, record)} {number(weight, 2)}" for key, weight in value.items())


def name_of(key: str, record: StudyOnRecord) -> str:
    """What a test or setup is called; its key where it is not on record with this study."""
    names = names_of(record)
    if key in record.tests:
        return names.test(key)
    return names.setup(key) if key in record.setups else key


_WORDED: Mapping[str, Callable[[Any, StudyOnRecord], str]] = {
    "margin": _percent,
    "boot_allowance": _percent,
    "ambient_c": _range,
    "setups": _list,
    "tests": _list,
    "also": _list,
    "weights": _weights,
}
