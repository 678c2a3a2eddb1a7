"""What is said of a run beside what triage found: in a few words where runs are listed, or in full."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from evenhand.desk.bench.rig_clock import clock_doubt
from evenhand.desk.logs.same_file import same_file_words
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.store.arrivals import moments_filed
from evenhand.store.runs import logs_elsewhere
from evenhand.store.workbench import Workbench

CLOCK = "the rig’s clock is in doubt"
TWICE = "its file is on record as another run too"


def beside(wb: Workbench, record: StudyOnRecord) -> Callable[[RunOnRecord], str]:
    """Gives of each run of a study what is noted, "" where nothing is; asks the workbench once for all."""
    with wb.reading():
        came, twice = moments_filed(wb, record.study.key), dict(logs_elsewhere(wb, record.study.key))

    def words(each: RunOnRecord) -> str:
        clock = CLOCK if clock_doubt(record, each, came) else ""
        return ", ".join(filter(None, (clock, TWICE if each.run.id in twice else "")))

    return words


def in_full(wb: Workbench, record: StudyOnRecord, shown: Sequence[RunOnRecord]) -> dict[str, tuple[str, ...]]:
    """The same of these runs in sentences, by run; those of which nothing is noted are left out."""
    with wb.reading():
        came = moments_filed(wb, record.study.key)
        shared = {own for own, _ in logs_elsewhere(wb, record.study.key)}
        doubts = {each.run.id: clock_doubt(record, each, came) for each in shown}
        twice = {run: same_file_words(wb, record, run) for run in doubts if run in shared}
    told = {run: tuple(filter(None, (doubt, twice.get(run, "")))) for run, doubt in doubts.items()}
    return {run: said for run, said in told.items() if said}


def files_elsewhere(wb: Workbench, record: StudyOnRecord) -> Iterator[tuple[str, str]]:
    """The label of each run whose file is on record as a run of another study too, and the sentence of it."""
    with wb.reading():
        shared = {own for own, _ in logs_elsewhere(wb, record.study.key)}
        for each in record.runs:
            if each.run.id in shared:
                yield each.run.label, same_file_words(wb, record, each.run.id)
