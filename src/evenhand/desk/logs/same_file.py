"""Runs of other studies that were made of the very same log: one file cannot be two machines."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.on_record import StudyOnRecord
from evenhand.publish.numbers import counted
from evenhand.records.builds import Build, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import runs as run_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


def same_file_words(wb: Workbench, record: StudyOnRecord, run: str, *, masked: bool = False) -> str:
    """Where the log of a run is on record as another run outside its study, in a sentence; "" where nowhere.

    While names are hidden it is not told whose that other run is.
    """
    with wb.reading():
        others = [other for own, other in run_store.logs_elsewhere(wb, record.study.key) if own == run]
        if not others:
            return ""
        as_what = "another run in another study" if masked else _run_words(wb, others[0])
        more = counted(len(others) - 1, "more run", "more runs") if len(others) > 1 else ""
    return (
        f"The very same file is on record as {as_what}{f' and {more}' if more else ''}: one of them is wrong."
    )


def same_files(wb: Workbench, record: StudyOnRecord) -> Iterator[str]:
    """The same for every run of a study that counts, as reservations of its comparison."""
    counting = {each.run.id: each for each in record.compared_runs if each.state.counts}
    with wb.reading():
        shared = dict(run_store.logs_elsewhere(wb, record.study.key))
    for key in filter(counting.__contains__, shared):
        yield f"{counting[key].run.label} counts. {same_file_words(wb, record, key)}"


def _run_words(wb: Workbench, key: str) -> str:
    """Another run by its label, test, build and study."""
    run = run_store.run(wb, key)
    build = shelves.one(wb, Setup, run.setup).build
    test, study = shelves.one(wb, Test, run.test).name, shelves.one(wb, Study, run.study).title
    return f"{run.label} ({test} on {shelves.one(wb, Build, build).name}, in “{study}”)"
