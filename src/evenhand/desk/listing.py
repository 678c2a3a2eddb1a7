"""What is on the workbench, in short."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.records.away import StudyAway
from evenhand.records.runs import RunState
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyLine:
    """A study with how many runs it has, how many wait for a decision, and whether it is put away."""

    study: Study
    runs: int
    in_doubt: int
    away: StudyAway | None = None


def list_studies(wb: Workbench) -> tuple[StudyLine, ...]:
    """Every study on record, in order of arrival."""
    return tuple(study_line(wb, study) for study in shelves.every(wb, Study))


def study_line(wb: Workbench, study: Study) -> StudyLine:
    """One study in short."""
    record = load_study(wb, study.key)
    doubt = len(waiting(record))
    return StudyLine(study=study, runs=len(record.runs), in_doubt=doubt, away=record.away)


def waiting(record: StudyOnRecord) -> tuple[RunOnRecord, ...]:
    """The runs that wait for a decision."""
    return tuple(each for each in record.runs if each.state is RunState.IN_DOUBT)


def study_line_answer(line: StudyLine) -> dict[str, object]:
    """One entry of ``studies --json``."""
    return {
        "study": line.study.key, "title": line.study.title, "runs": line.runs, "in_doubt": line.in_doubt,
        "away": away_answer(line.away),
    }  # fmt: skip


def away_answer(away: StudyAway | None) -> dict[str, object] | None:
    """Since when, by whom and why a study is put away; None where it is not."""
    if away is None:
        return None
    return {"since": away.at.isoformat(), "by": away.by, "note": away.note}
