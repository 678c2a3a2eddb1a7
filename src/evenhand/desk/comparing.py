"""Compare the setups of a study, and freeze what was found under the code and the inputs it came from."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from datetime import datetime

from evenhand.desk.answers import comparison_answer
from evenhand.desk.cells import cells_of, observation
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.opening import CODE_VERSION
from evenhand.findings.compare import compare_study
from evenhand.findings.exclusions import LeftOutRun, exclusions
from evenhand.findings.finding import Cell, Comparison
from evenhand.store import results
from evenhand.store.results import Frozen
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Compared:
    """A comparison, the study it is of, and the frozen result that holds it."""

    record: StudyOnRecord
    comparison: Comparison
    frozen: Frozen


def compare(wb: Workbench, study: str, *, now: datetime) -> Compared:
    """What the counting runs of a study say; the same inputs give the same frozen result."""
    record = load_study(wb, study)
    cells = cells_of(record)
    comparison = comparison_of(record, cells)
    body = json.dumps(comparison_answer(comparison), ensure_ascii=False, sort_keys=True)
    frozen = results.freeze(
        wb, study, code_version=CODE_VERSION, input_hash=input_hash(record, cells), body=body, at=now
    )
    return Compared(record=record, comparison=comparison, frozen=frozen)


def comparison_of(record: StudyOnRecord, cells: tuple[Cell, ...]) -> Comparison:
    """Findings, indexes, and the view with and without every run that was left out."""
    minutes = {t.key: t.minutes for t in record.tests.values() if t.minutes is not None}
    found = compare_study(cells, study=record.study, minutes=minutes)
    out = exclusions(cells, tuple(left_out(record)), study=record.study, minutes=minutes)
    return replace(found, exclusions=out)


def left_out(record: StudyOnRecord) -> Iterator[LeftOutRun]:
    """Every run that does not count though it carries its test's headline number."""
    for each in record.runs:
        test = record.tests[each.run.test]
        if record.compares(each) and not each.state.counts and each.headline(test) is not None:
            seen = observation(each, test.metric)
            yield LeftOutRun(test=test.key, setup=each.run.setup, metric=test.metric, observation=seen)


def input_hash(record: StudyOnRecord, cells: tuple[Cell, ...]) -> str:
    """A hash of everything the comparison reads: the study's terms and every run's number and state."""
    runs = [(r.run.id, r.run.log, r.state.value, sorted(r.metrics.values.items())) for r in record.runs]
    inputs = {"study": asdict(record.study), "cells": [asdict(c) for c in cells], "runs": runs}
    text = json.dumps(inputs, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.sha256(text.encode()).hexdigest()
