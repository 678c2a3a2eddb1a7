"""Files that came in for a study while it was put away: they land once it is brought back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from evenhand.desk.bench.uploading import place_in
from evenhand.desk.study.away import AWAY_SINCE
from evenhand.records.plans import Arrival
from evenhand.store import arrivals
from evenhand.store.workbench import Workbench

Watch = Callable[[int, int, str], None]


def waiting_for(wb: Workbench, study: str) -> tuple[Arrival, ...]:
    """The files that wait because this study is or was put away, the first that came first."""
    return tuple(
        arrival
        for arrival, last in reversed(arrivals.waiting(wb))
        if last is not None and last.study == study and AWAY_SINCE in last.note
    )


def land_waiting(wb: Workbench, study: str, *, by: str, now: datetime, watch: Watch) -> tuple[int, int]:
    """Land them, where it is sure which run each is: how many landed, and how many wait still.

    `watch` may raise to stop: what landed by then stays.
    """
    waiting, landed = waiting_for(wb, study), 0
    for done, arrival in enumerate(waiting):
        watch(done, len(waiting), arrival.name)
        landed += place_in(wb, arrival, by=by, now=now).landed is not None
    return landed, len(waiting) - landed
