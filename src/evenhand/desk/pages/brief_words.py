"""What the brief says of itself: its answer, when it was fixed, and how its tests stand together."""

from __future__ import annotations

from datetime import date, datetime

from evenhand.desk.on_record import StudyOnRecord
from evenhand.publish.dates import day_words
from evenhand.publish.numbers import capital, counted, listed, margin_words
from evenhand.records.studies import Study
from evenhand.store.history import arrivals_of, history_of
from evenhand.store.workbench import Workbench


def fixed_at(wb: Workbench, record: StudyOnRecord) -> datetime | None:
    """When what decides the study was last written down before its first run came; None without runs."""
    arrivals = arrivals_of(wb, record.study.key)
    if not arrivals:
        return None
    places = [("studies", record.study.key), *(("tests", key) for key in record.study.tests)]
    before = [each for place in places for each in history_of(wb, *place) if each.id < arrivals[0].id]
    return max((each.at for each in before), default=arrivals[0].at)


def run_before(record: StudyOnRecord, fixed: datetime | None) -> date | None:
    """The day of the first run, where it was made on a day before the brief came on record; else None."""
    made = [each.run.started_at.date() for each in record.runs if each.run.started_at is not None]
    first = min(made, default=None)
    return first if first is not None and fixed is not None and first < fixed.date() else None


def fixed_words(fixed: datetime | None, earlier: date | None = None) -> str:
    """What the date of the brief is worth; `earlier` is the day of a run that was made before it."""
    if fixed is not None and earlier is not None:
        return (
            f"On record since {day_words(fixed)}, the first run since {day_words(earlier)}: whether it was "
            "fixed before, this record cannot show. Later changes stay on record, and are told."
        )
    if fixed is None:
        return "Nothing has been measured yet: all of this may still change, and is fixed by the first run."
    return f"Fixed on {day_words(fixed)}, before the first run. Later changes stay on record, and are told."


def answer_of(record: StudyOnRecord, fixed: datetime | None, changed: int) -> str:
    """What the page opens with."""
    study = record.study
    question = study.question or "The question is not written down yet."
    said = capital(counted(len(study.tests), "test")) if study.tests else "No tests yet"
    when = f"fixed on {day_words(fixed)} before the first run" if fixed else "open until the first run"
    if fixed is not None and run_before(record, fixed):
        when = f"on record since {day_words(fixed)}, after the first run"
    since = f"; {counted(changed, 'term was', 'terms were')} changed since" if changed else ""
    return f"{question} {said}, margin {margin_words(study.margin)}, {when}{since}."


def lead_of(study: Study) -> str:
    """For whom, and for how much."""
    told = (f"For {study.audience}" if study.audience else "", study.budget)
    said = "; ".join(words.rstrip(".") for words in told if words)
    return f"{said}." if said else "It is not said yet for whom, and for how much."


def tests_said(record: StudyOnRecord) -> str:
    """The tests and what they lean on, in a sentence."""
    if not record.study.tests:
        return "No test is chosen yet"
    leans = dict.fromkeys(word for test in record.compared_tests for word in test.stresses)
    said = capital(counted(len(record.study.tests), "test"))
    return f"{said}, leaning on {listed(tuple(leans))}" if leans else said


def weights_said(study: Study) -> str:
    """How the tests weigh in the index."""
    weights = {study.weights.get(key, 1.0) for key in study.tests}
    if len(weights) == 1:
        return "All tests weigh the same in the index" if len(study.tests) > 1 else "One test, one weight"
    return "Tests weigh differently in the index"
