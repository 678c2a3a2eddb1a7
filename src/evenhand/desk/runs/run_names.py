"""What a run is called wherever people read of it: its build, its test, and its place among its siblings."""

from __future__ import annotations

from evenhand.desk.bench.masking import Mask
from evenhand.desk.names import names_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord


def run_named(record: StudyOnRecord, each: RunOnRecord, *, mask: Mask | None = None) -> str:
    """What a run is called: its build, its test, and its place among its siblings."""
    names = names_of(record)
    who = names.setup(each.run.setup) if mask is None else "A build"
    cell = record.cell(each.run.test, each.run.setup)
    place = 1 + [other.run.id for other in cell].index(each.run.id)
    return f"{who}, {names.test(each.run.test)}, run {place}"
