"""What is noticed over the whole of a study: told beside its comparison, and never held against a run."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.desk.bench.hiding import masking_notes
from evenhand.desk.comparison.rehearsed import rehearsed_starts
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.study.looks_changed import looks_changed
from evenhand.triage.thresholds import DEFAULT
from evenhand.triage.warm_up import StudyNote, Timed, TimedCell, warm_up


def study_notes(record: StudyOnRecord) -> tuple[StudyNote, ...]:
    """Notes on a study as it stands: from the runs that count, and on how they came to be."""
    return record.once("study notes", _noticed)


def _noticed(record: StudyOnRecord) -> tuple[StudyNote, ...]:
    noticed = (
        warm_up(timed_cells(record), DEFAULT.warm_up),
        rehearsed_starts(record),
        shown_early(record),
        declared_anew(record),
    )
    return tuple(note for note in noticed if note is not None)


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


def shown_early(record: StudyOnRecord) -> StudyNote | None:
    """The caveat that names were shown before the plan was done; None where they never were."""
    early = [note for note in masking_notes(record) if not note.value]
    if not early:
        return None
    first = early[0]
    return StudyNote(
        kind="names-shown-early",
        title="Names were shown before the plan was done",
        evidence=f"Build names were hidden while runs were made, and {first.by} showed them on "
        f"{first.at:%Y-%m-%d at %H:%M}, with runs still to come.",
        todo="Whoever decided about runs from then on could know whose they were.",
        numbers={"plan": float(first.plan)},
    )


def declared_anew(record: StudyOnRecord) -> StudyNote | None:
    """The caveat that looks were declared anew after runs; None where the first ones stand."""
    said = looks_changed(record, record.plan) if record.plan is not None else ""
    if not said or record.plan is None:
        return None
    return StudyNote(
        kind="looks-declared-anew",
        title="The looks are not those of the first run",
        evidence=f"{said[:1].upper()}{said[1:]}.",
        todo="Looking on until something shows finds a false lead more often than the levels say.",
        numbers={"plan": float(record.plan.id)},
    )
