"""Put a changed record on its shelf, unless somebody changed it meanwhile; judge again what hangs on it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from evenhand.desk.logs.measuring_again import measured_as_cut, runs_of_test, windows_standing
from evenhand.desk.runs.candidates import OUT, Loader
from evenhand.desk.runs.triaging import triage_study
from evenhand.desk.runs.window_checks import refuse_unfit
from evenhand.desk.study.away import refuse_away
from evenhand.desk.study.field_changes import TABLES
from evenhand.desk.study.used_by import users_of
from evenhand.errors import NotFound, Overtaken
from evenhand.folders.money_terms import money_table
from evenhand.folders.worth_written import audience_table
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.records.windows import WHOLE
from evenhand.store import runs as run_store
from evenhand.store import shelves
from evenhand.store.away import studies_away
from evenhand.store.history import latest_change
from evenhand.store.rows import Saved, plain
from evenhand.store.workbench import Workbench

Shelved = Part | Build | Setup | Test | Study
NOUNS: Mapping[type[Shelved], str] = {
    Part: "part",
    Build: "build",
    Setup: "setup",
    Test: "test",
    Study: "study",
}
NOUN_OF: Mapping[str, str] = {table: noun for noun, table in TABLES.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What was put on record: under which key, and the number of the change; 0 where it stood so before."""

    key: str
    change: int = 0


def table_of(record: Shelved) -> str:
    """The table in which a record's history is told."""
    return TABLES[NOUNS[type(record)]]


def as_table(record: Shelved) -> dict[str, Any]:
    """A record with the keys and the sorts of value of its study file table; what is not on record is absent.

    >>> as_table(Part(key="k6", kind="processor", name="K6"))
    {'key': 'k6', 'kind': 'processor', 'name': 'K6', 'note': ''}
    """
    fields: dict[str, Any] = plain(record)
    if isinstance(record, Study):
        fields["audiences"] = [audience_table(each, record.currency) for each in record.audiences]
        fields["money"] = record.money and money_table(record.money, record.currency)
    return {key: value for key, value in fields.items() if value is not None}


def version_of(wb: Workbench, record: Shelved) -> int:
    """The number of a record's last change: a form that is sent back tells by it what its writer saw."""
    return latest_change(wb, table_of(record), record.key)


def refuse_unseen(wb: Workbench, record: Shelved, seen: int | None) -> None:
    """Raises Overtaken where the record was changed after `seen`; None asks for nothing."""
    if seen is not None and version_of(wb, record) != seen:
        raise Overtaken(
            f"this {NOUNS[type(record)]} was changed in another window since you opened it",
            where=record.key,
            todo="what you typed is still here: look at both and save again to put yours in place",
        )


def keep(wb: Workbench, record: Shelved, *, now: datetime) -> Kept:
    """Puts a record on its shelf; where that is a test that is cut otherwise, its runs are measured again.

    Raises BadRecord, and puts nothing there, where its new window does not fit its runs, or where no study
    but such as are put away is about it.
    """
    with wb.writing():
        refuse_closed(wb, record)
        if isinstance(record, Test):
            refuse_unfit_test(wb, record)
        with measured_as_cut(wb, (record.key,) if isinstance(record, Test) else (), now=now):
            saved = shelves.save(wb, record, now=now)
    if saved is Saved.SAME:
        return Kept(key=record.key)
    return Kept(key=record.key, change=version_of(wb, record))


def refuse_closed(wb: Workbench, record: Shelved) -> None:
    """Raises StudyIsAway where a change of this record would touch no study but such as are put away."""
    if studies_away(wb):
        touched = (record,) if isinstance(record, Study) else users_of(wb, record)
        refuse_away(wb, *(study.key for study in touched))


def refuse_unfit_test(wb: Workbench, test: Test) -> None:
    """Raises BadRecord where a test is cut otherwise than so far, and a run that counts or waits fits not."""
    before = windows_standing(wb, test.key).get(test.key, WHOLE)
    if test.window is not None and not test.window.cuts_like(before):
        runs = (each for each in runs_of_test(wb, test.key) if each.state not in OUT and not each.run.window)
        refuse_unfit(test, runs, Loader(wb=wb, sensor_logs={}))


def judge_again(wb: Workbench, record: Shelved, *, now: datetime) -> None:
    """Holds the runs of every study that a change touches against their siblings again."""
    touched = (record,) if isinstance(record, Study) else users_of(wb, record)
    for study in touched:
        if run_store.runs_of(wb, study.key):
            triage_study(wb, study.key, now=now)


def there(wb: Workbench, kind: type[Shelved], key: str) -> Shelved | None:
    """The record under this key, or None."""
    try:
        return shelves.one(wb, kind, key)
    except NotFound:
        return None
