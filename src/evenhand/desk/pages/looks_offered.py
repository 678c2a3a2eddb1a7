"""The looks that the page of the plan offers, and which of them are tried where nobody chose any."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.bench.plan_needs import runs_there
from evenhand.desk.bench.plan_standing import PlanNow
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.plan_words import looks_words
from evenhand.plans.looks import CALIBRATED, MOST_RUNS, declared

LOOKS = (*(looks.at for looks in CALIBRATED), (3, 5), (3,), (5,), (8,))
MORE = 3  # runs of each beyond those on record, where no usual look lies ahead of them


def looks_offered(record: StudyOnRecord, standing: PlanNow | None) -> Iterator[tuple[str, str]]:
    """Values and words: the usual looks, those of the plan that is shown, one beyond all runs on record."""
    own = (standing.plan.looks,) if standing else ()
    for at in dict.fromkeys((*LOOKS, *_beyond(record), *own)):
        yield ",".join(map(str, at)), looks_words(declared(at))


def tried_looks(record: StudyOnRecord) -> Iterator[tuple[int, ...]]:
    """The usual looks first, then those that lie ahead of every run on record."""
    most = most_there(record)
    yield LOOKS[0]
    yield from (at for at in LOOKS if at[0] > most)
    yield from _beyond(record)


def most_there(record: StudyOnRecord) -> int:
    """The runs of the test and setup that has most of them."""
    study = record.study
    cells = ((test, setup) for test in study.tests for setup in study.setups)
    return max((runs_there(record, cell) for cell in cells), default=0)


def _beyond(record: StudyOnRecord) -> tuple[tuple[int, ...], ...]:
    """One look at a few more runs of each, where every usual first look has been passed."""
    most = most_there(record)
    if any(at[0] > most for at in LOOKS) or most >= MOST_RUNS:
        return ()
    return ((min(most + MORE, MOST_RUNS),),)
