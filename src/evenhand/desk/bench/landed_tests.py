"""Judge one test again each time a run of it lands, without working out anew what the runs before it gave."""

from __future__ import annotations

from datetime import datetime

from evenhand.desk.runs.candidates import Loader
from evenhand.desk.runs.held_tests import judge_of
from evenhand.desk.runs.judging import judge_test
from evenhand.desk.runs.triaging import around_study, digest_of, keep_verdicts
from evenhand.store import runs as run_store
from evenhand.store.judged import judged_on
from evenhand.store.workbench import Workbench


def judge_landed(wb: Workbench, study: str, test: str, *, now: datetime) -> None:
    """Judge the runs of one test, one such judgement at a time.

    Who waits for another's turn finds the runs of all that waited judged together.
    """
    judge = judge_of(wb.path)
    with judge.turn:
        around = around_study(wb, study)
        held = judge.of(study, around.record.tests[test])
        digest = digest_of(around, held.test, known=held.text_of)
        if judged_on(wb, study).get(test) == digest:
            return
        cells = held.cells(Loader(wb=wb, sensor_logs={}), around.record)
        own = run_store.first_stored_in(wb, study)
        verdicts = judge_test(around, held.test, cells, own=own, prepared=held.prepared)
        keep_verdicts(wb, study, held.test, verdicts, own=own, digest=digest, now=now)
        judge.let_go()
