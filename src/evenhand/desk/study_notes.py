"""What is noticed over the whole of a study: told beside its comparison, and never held against a run."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.on_record import StudyOnRecord
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.warm_up import StudyNote, Timed, TimedCell, warm_up


def study_notes(record: StudyOnRecord) -> tuple[StudyNote, ...]:
    """Notes on a study as it stands, from the runs that count."""
    note = warm_up(timed_cells(record), DEFAULT.warm_up)
    return () if note is None else (note,)


def timed_cells(record: StudyOnRecord) -> Iterator[TimedCell]:
    """The counting runs of each compared cell, with boot and order."""
    for test in record.compared_tests:
        for setup in record.study.setups:
            counting = [each for each in record.cell(test.key, setup) if each.state.counts]
            runs = [(each.run, each.headline(test)) for each in counting]
            timed = (Timed(value=v, boot=run.boot, order=run.order) for run, v in runs if v is not None)
            yield TimedCell(test=test.key, setup=setup, direction=test.direction, runs=tuple(timed))


def note_answer(note: StudyNote) -> dict[str, object]:
    """A note for ``--json``."""
    return {
        "kind": note.kind,
        "title": note.title,
        "evidence": note.evidence,
        "todo": note.todo,
        "numbers": dict(note.numbers),
        "cells": [{"test": test, "setup": setup} for test, setup in note.cells],
    }
