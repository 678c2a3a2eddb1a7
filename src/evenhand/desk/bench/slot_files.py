"""Which slot of a plan each file in the inbox is most likely of, so that nobody makes that run again."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from evenhand.desk.bench.inbox import kind_inside
from evenhand.desk.bench.matching import propose
from evenhand.desk.bench.told import told_from
from evenhand.records.plans import Arrival
from evenhand.store import arrivals
from evenhand.store.workbench import Workbench

LOOKED_AT = 5  # of the newest that do not say their slot themselves: each is read for it

Place = tuple[int, int]  # plan and number


def waiting_by_slot(wb: Workbench) -> Mapping[Place, str]:
    """The name of the newest file in the inbox that most likely is the run of a slot, by plan and number."""
    return wb.lately("waiting files by slot", lambda: dict(reversed(list(_places(wb)))))


def _places(wb: Workbench) -> Iterator[tuple[Place, str]]:
    guessed = 0
    for arrival, _ in arrivals.waiting(wb):
        place = _said(arrival)
        if place is None and guessed < LOOKED_AT:
            guessed += 1
            place = _likely(wb, arrival)
        if place is not None:
            yield place, arrival.name


def _said(arrival: Arrival) -> Place | None:
    told = told_from(arrival.about)
    return None if told.plan is None or told.slot is None else (told.plan, told.slot)


def _likely(wb: Workbench, arrival: Arrival) -> Place | None:
    found = propose(wb, arrival, kind=kind_inside(wb, arrival))
    return None if found.plan is None or found.slot is None else (found.plan, found.slot)
