"""Runs that share a place in the order: which, on which lines of the study file, and whether it matters."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from evenhand.desk.logs.study_folders import study_text
from evenhand.desk.on_record import StudyOnRecord
from evenhand.errors import BadRecord
from evenhand.folders.order_lines import order_lines
from evenhand.folders.study_folder import STUDY_FILE, StudyFolder, shared_orders
from evenhand.records.runs import RunState

OUT = (RunState.SET_ASIDE, RunState.REPLACED)


@dataclass(frozen=True, slots=True, kw_only=True)
class SharedOrder:
    """A place in the order that the study file gives to several runs, by label; `lines` where it does.

    `to_mend` tells that two of them are of one test and neither is set aside or replaced: turns are taken
    within a test, so that one of them is a slip.
    """

    order: int
    runs: tuple[str, ...]
    lines: tuple[int, ...] = ()
    to_mend: bool = False


def shared_in_file(folder: Path, found: StudyFolder, record: StudyOnRecord) -> tuple[SharedOrder, ...]:
    """The places that a study file gives more than once; those that are to be mended first."""
    shared = shared_orders(found.runs)
    slips = {order for _, order, _ in shared_within_tests(record)}
    lines = _lines(folder, found) if shared else {}
    told = [
        SharedOrder(
            order=order,
            runs=labels,
            lines=tuple(sorted({lines[label] for label in labels if label in lines})),
            to_mend=order in slips,
        )
        for order, labels in shared.items()
    ]
    return tuple(sorted(told, key=lambda each: (not each.to_mend, each.order)))


def shared_within_tests(record: StudyOnRecord) -> Iterator[tuple[str, int, tuple[str, ...]]]:
    """Test, place and labels of the runs of one test that share it; runs that are out do not count."""
    places: defaultdict[tuple[str, int], list[str]] = defaultdict(list)
    for each in record.runs:
        if each.run.order is not None and each.state not in OUT:
            places[each.run.test, each.run.order].append(each.run.label)
    for (test, order), labels in sorted(places.items()):
        if len(labels) > 1:
            yield test, order, tuple(labels)


def _lines(folder: Path, found: StudyFolder) -> dict[str, int]:
    """On which line the order of each run stands; of none where the file can no longer be read."""
    with suppress(BadRecord):
        told = order_lines(study_text(folder / STUDY_FILE))
        if len(told) == len(found.runs):
            named = ((run.label, line) for run, line in zip(found.runs, told, strict=True) if run.named)
            return {label: line for label, line in named if line is not None}
    return {}
