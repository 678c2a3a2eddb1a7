"""What is on the workbench, in short."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.records.runs import RunState
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyLine:
    """A study with how many runs it has and how many wait for a decision."""

    study: Study
    runs: int
    in_doubt: int


def list_studies(wb: Workbench) -> tuple[StudyLine, ...]:
    """Every study on record, in order of arrival."""
    return tuple(study_line(wb, study) for study in shelves.every(wb, Study))


def study_line(wb: Workbench, study: Study) -> StudyLine:
    """One study in short."""
    runs = load_study(wb, study.key).runs
    return StudyLine(study=study, runs=len(runs), in_doubt=sum(r.state is RunState.IN_DOUBT for r in runs))


def waiting(record: StudyOnRecord) -> tuple[RunOnRecord, ...]:
    """The runs that wait for a decision."""
    return tuple(each for each in record.runs if each.state is RunState.IN_DOUBT)


def study_line_answer(line: StudyLine) -> dict[str, object]:
    """One entry of ``studies --json``."""
    return {
        "study": line.study.key, "title": line.study.title, "runs": line.runs, "in_doubt": line.in_doubt,
    }  # fmt: skip
