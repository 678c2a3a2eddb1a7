"""What waits for a word on its columns alone lands once they are confirmed: one answer serves a whole day."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from evenhand.desk.bench.uploading import place_in
from evenhand.records.plans import Arrival
from evenhand.store import arrivals
from evenhand.store.workbench import Workbench

Watch = Callable[[int, int, str], None]

COLUMNS_UNKNOWN = "nobody has confirmed what its columns are"


def waiting_for_columns(wb: Workbench) -> tuple[Arrival, ...]:
    """The files that wait because nobody had confirmed their columns, the first that came first."""
    waiting = reversed(arrivals.waiting(wb))
    return tuple(arrival for arrival, last in waiting if last is not None and COLUMNS_UNKNOWN in last.note)


def land_alike(wb: Workbench, *, by: str, now: datetime, watch: Watch) -> int:
    """Land those whose columns are known now, where it is sure which run each is; how many landed.

    `watch` may raise to stop: what landed by then stays.
    """
    waiting, landed = waiting_for_columns(wb), 0
    for done, arrival in enumerate(waiting):
        watch(done, len(waiting), arrival.name)
        landed += place_in(wb, arrival, by=by, now=now).landed is not None
    return landed
