"""Left-out runs of a study measured under several conditions, put back one at a time: they may bridge them.

A rerun of the machine that bridges a change stands in no cell that is compared, and still moves every number
across that change, or is what makes one possible. So the whole record is read as it would be with it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from evenhand.desk.comparison.cells import cells_of, further_cells
from evenhand.desk.comparison.periods import Times, anchors_of, times_of
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.records.audiences import Property
from evenhand.records.runs import RunState
from evenhand.verdicts.moves import Lever
from evenhand.verdicts.others import Other, standing_on


def left_out_across(record: StudyOnRecord) -> tuple[RunOnRecord, ...]:
    """The left-out runs that must be put back so: of compared setups, and of machines that bridge then.

    None where all that counts was run under one set of conditions.
    """
    return record.once("left out across", lambda of: tuple(_left_out_across(of)))


def _left_out_across(record: StudyOnRecord) -> Iterator[RunOnRecord]:
    if len(times_of(record).periods) < 2:
        return
    for each in record.runs:
        if each.run.test in record.study.tests and not each.state.counts:
            there = each.headline(record.tests[each.run.test]) is not None
            if there and (record.compares(each) or _bridges(record, each)):
                yield each


def _bridges(record: StudyOnRecord, each: RunOnRecord) -> bool:
    """Whether its machine would then be one that was run under several conditions in this test."""
    times = times_of(with_run(record, each))
    machine = times.machines[each.run.setup]
    return machine in anchors_of(times) and len(times.of(each.run.test, machine)) > 1


def with_run(record: StudyOnRecord, each: RunOnRecord) -> StudyOnRecord:
    """The record as it would be if this run counted."""
    runs = (replace(own, state=RunState.KEPT) if own is each else own for own in record.runs)
    return replace(record, runs=tuple(runs))


def others_across(
    record: StudyOnRecord, across: tuple[RunOnRecord, ...], properties: frozenset[Property]
) -> Iterator[Other]:
    """What the pairs would stand on with each of these runs; it touches its share of its machine's runs.

    `across` are those of `left_out_across`.
    """
    for each in across:
        then = with_run(record, each)
        test = each.run.test
        other = Other(
            lever=Lever.RUN, name=each.run.id, touched={test: 1.0 / _beside(times_of(then), each)},
            cells=(*cells_of(then), *further_cells(then, properties)),
        )  # fmt: skip
        yield standing_on(other, study=record.study, properties=properties)


def _beside(times: Times, each: RunOnRecord) -> int:
    """How many runs its machine then has in this test under these conditions, this one with them."""
    machine = times.machines[each.run.setup]
    own = (
        runs for (_, test, of), runs in times.runs.items()
        if (test, of) == (each.run.test, machine) and any(run.run.id == each.run.id for run in runs)
    )  # fmt: skip
    return len(next(own))
