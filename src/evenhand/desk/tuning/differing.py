"""Tuned parts and trials of a study's folder that are otherwise on record: told, or refused."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import datetime

from evenhand.desk.study.field_changes import FieldChange
from evenhand.desk.study.shared_records import clash, used_elsewhere
from evenhand.errors import BadRecord
from evenhand.folders.study_folder import StudyFolder
from evenhand.publish.tuning.words import limit_words
from evenhand.records.builds import Setup
from evenhand.records.trials import Limit, Quantity, Trial, Tuned
from evenhand.store import trials as trial_store
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench

RECORD = "tuned part"
FIELDS = tuple(name for name in Tuned.__slots__ if name not in ("setup", "part", "limits"))


def refuse_differing(wb: Workbench, found: StudyFolder) -> None:
    """Raises BadRecord where a folder would change a tuned part that another study is about, or a trial.

    A trial is a fact: under one key two different ones cannot both have happened.
    """
    users = {record.key: user for record, user in used_elsewhere(wb, found) if isinstance(record, Setup)}
    for part in (entry.part for entry in found.tuned):
        before = tuned_store.tuned_one(wb, part.setup, part.part)
        if part.setup in users and before is not None and _plain(before) != _plain(part):
            raise clash(_plain(before), _plain(part), users[part.setup], found)
    there = {trial.key: trial for trial in _on_record(wb, found)}
    for trial in (entry.trial for entry in found.trials):
        known = there.get(trial.key)
        if known is not None and _facts(known) != _facts(trial):
            raise BadRecord(
                f"the trial with the key '{trial.key}' is on record otherwise, as number {known.id}",
                where=f"study '{found.study.key}', [[trials]]",
                todo="give this one a key of its own, or correct it to what is on record",
            )


def _on_record(wb: Workbench, found: StudyFolder) -> tuple[Trial, ...]:
    return trial_store.trials_of(wb, dict.fromkeys(entry.trial.setup for entry in found.trials), ever=True)


def _facts(trial: Trial) -> Trial:
    return replace(trial, id=0, by="", settings=dict(trial.settings))


def _plain(tuned: Tuned) -> Tuned:
    return replace(tuned, limits=())


def changes_of_tuned(wb: Workbench, found: StudyFolder, *, now: datetime) -> tuple[FieldChange, ...]:
    """What a folder will make another of its tuned parts, before it does; limits that it adds to others too.

    Both stay on record: the state before as an earlier one, and of several limits the lowest counts.
    """
    return tuple(change for entry in found.tuned for change in _changes(wb, entry.standing, now))


def changes_ever(wb: Workbench, setups: Iterable[str]) -> Iterator[FieldChange]:
    """Each field of a tuned part of these setups that ever became another, the first first."""
    last: dict[str, Tuned] = {}
    for at, state in tuned_store.tuned_ever(wb, setups):
        if _key(state) in last:
            yield from _fields(last[_key(state)], state, at)
        last[_key(state)] = state


def _fields(before: Tuned, after: Tuned, at: datetime) -> Iterator[FieldChange]:
    for field in FIELDS:
        was, is_now = getattr(before, field), getattr(after, field)
        if was != is_now:
            yield FieldChange(
                id=0, at=at, record=RECORD, key=_key(after), field=field, before=was, after=is_now
            )


def _key(tuned: Tuned) -> str:
    return f"{tuned.setup} {tuned.part}"


def _changes(wb: Workbench, part: Tuned, now: datetime) -> Iterator[FieldChange]:
    before = tuned_store.tuned_one(wb, part.setup, part.part)
    if before is None:
        return
    key = _key(part)
    yield from _fields(before, part, now)
    ever = {replace(each, id=0) for each in tuned_store.limits_ever(wb, part.setup, part.part)}
    for quantity in Quantity:
        lowest = before.limit(quantity)
        added = [limit for limit in part.limits if limit.quantity is quantity and _bare(limit) not in ever]
        if lowest is not None and added:
            after = ", ".join(limit_words(each) for each in (lowest, *added))
            yield FieldChange(
                id=0, at=now, record=RECORD, key=key, field=f"limits of {quantity.value}",
                before=limit_words(lowest), after=f"{after}; the lowest counts",
            )  # fmt: skip


def _bare(limit: Limit) -> Limit:
    return replace(limit, id=0)
