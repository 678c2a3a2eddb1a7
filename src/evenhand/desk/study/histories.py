"""What became of a study since it came in: every change, and every decision with what it rested on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from heapq import merge
from typing import Any

from evenhand.desk.logs.column_questions import column_words
from evenhand.desk.logs.layouts import header_of, remembered
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.study.field_changes import FieldChange, changes_of, fields_of
from evenhand.desk.tuning.differing import changes_ever
from evenhand.records.away import StudyAway
from evenhand.records.layouts import Layout
from evenhand.records.runs import Decision
from evenhand.store import decisions
from evenhand.store.away import away_of
from evenhand.store.headers import key_of
from evenhand.store.history import Change, history_of, run_changes_of
from evenhand.store.workbench import Workbench

MARKS = ("log_layout", "sensor_layout")  # what they mean is told once, of the header


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyHistory:
    """A study, all that was changed of it, and all that was decided about its runs; the first first.

    `away` tells each time that it was put away or brought back.
    """

    record: StudyOnRecord
    changes: tuple[FieldChange, ...]
    decisions: tuple[Decision, ...]
    away: tuple[StudyAway, ...] = ()


def study_history(wb: Workbench, study: str) -> StudyHistory:
    """Everything that became of a study. Raises NotFound with the nearest one known.

    Its own terms, tests, setups, builds, parts and tuned parts; facts of its runs, and whether its folder
    still names them; and which layout stands for the header lines of its logs.
    """
    record = load_study(wb, study)
    found = [*changes_of(wb, record), *changes_of_runs(wb, study), *changes_of_layouts(wb, record)]
    of_records = sorted(found, key=lambda each: each.id)
    of_tuned = changes_ever(wb, record.setups)  # kept apart, under numbers of their own
    return StudyHistory(
        record=record,
        changes=tuple(merge(of_records, of_tuned, key=lambda each: each.at)),
        decisions=decisions.decisions_of(wb, study),
        away=away_of(wb, study),
    )


def changes_of_runs(wb: Workbench, study: str) -> Iterator[FieldChange]:
    """Each fact of a run that was corrected under its id, and each run that its folder names no longer."""
    for change in run_changes_of(wb, study):
        yield from (each for each in fields_of(change, "run") if each.field not in MARKS)


def changes_of_layouts(wb: Workbench, record: StudyOnRecord) -> Iterator[FieldChange]:
    """Each time that another layout came to stand for a header line of the study's logs."""
    known = {layout.fingerprint: layout for layout in remembered(wb)}
    marks = {mark for each in record.runs for mark in (each.run.log_layout, each.run.sensor_layout) if mark}
    for key in sorted({key_of(header_of(known[mark]), known[mark].kind) for mark in marks}):
        for change in history_of(wb, "headers", key):
            if change.before is not None:
                yield layout_change(change, known[change.before["layout"]], known[change.after["layout"]])


def layout_change(change: Change, before: Layout, after: Layout) -> FieldChange:
    """One layout put in the place of another, told by their columns."""
    told: list[Any] = [[column_words(column) for column in layout.columns] for layout in (before, after)]
    return FieldChange(
        id=change.id,
        at=change.at,
        record="layout",
        key=before.name,
        field="columns",
        before=told[0],
        after=told[1],
    )
