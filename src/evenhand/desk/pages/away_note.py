"""The note on every page of a study that is put away: since when and why, and what rests until it is back."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.study.away import since_words
from evenhand.publish.numbers import counted


@dataclass(frozen=True, slots=True, kw_only=True)
class AwayNote:
    """Since when and why a study is put away, and that its plan rests, "" where none goes on."""

    since: str
    rests: str


def away_note(record: StudyOnRecord) -> AwayNote | None:
    """The note; None where the study is at hand."""
    if record.away is None:
        return None
    return AwayNote(since=since_words(record.away), rests=plan_rests(record))


def plan_rests(record: StudyOnRecord) -> str:
    """That the plan of a study that is put away goes on only once that is back; "" where none goes on."""
    plan = plan_on_record(record)
    left = len(plan.coming) if plan is not None else 0
    if not left:
        return ""
    runs = counted(left, "planned run waits", "planned runs wait")
    return f"{runs.capitalize()} until then; no rig is given any."
