"""What became of a file that came in: filed as a run, waiting with a reason, put away, brought back."""

from __future__ import annotations

from datetime import datetime

from evenhand.desk.bench.filed_names import filed_as
from evenhand.errors import BadRecord, NotFound
from evenhand.records.plans import Arrival, Placing
from evenhand.records.studies import Study
from evenhand.store import arrivals, shelves
from evenhand.store.workbench import Workbench


def standing(wb: Workbench, arrival: int) -> Placing | None:
    """What became of an arrival last, if anything."""
    told = arrivals.placings_of(wb, arrival)
    return told[-1] if told else None


def place(wb: Workbench, placing: Placing) -> None:
    """Put on record what became of an arrival; what stands already is not told again."""
    last = standing(wb, placing.arrival)
    if last is None or _said(last) != _said(placing):
        arrivals.add_placing(wb, placing)


def _said(placing: Placing) -> tuple[object, ...]:
    return (placing.study, placing.run, placing.plan, placing.slot, placing.away, placing.note)


def note_waiting(wb: Workbench, arrival: Arrival, why: str, *, study: str, by: str, now: datetime) -> None:
    """Let an arrival wait in the inbox with the reason; one that is filed or put away stays so."""
    last = standing(wb, arrival.id)
    if last is not None and (last.run is not None or last.away):
        return
    known = study if _there(wb, study) else None
    place(wb, Placing(arrival=arrival.id, study=known, note=why, by=by, at=now))


def _there(wb: Workbench, study: str) -> bool:
    try:
        shelves.one(wb, Study, study)
    except NotFound:
        return False
    return True


def put_away(wb: Workbench, arrival: int, *, note: str, by: str, now: datetime) -> None:
    """Take an arrival out of the inbox without making a run of it; its bytes are kept.

    Raises NotFound where nothing arrived under this number, and BadRecord where it is filed already.
    """
    with wb.writing():
        came = arrivals.arrival(wb, arrival)
        last = standing(wb, arrival)
        if last is not None and last.run is not None:
            raise BadRecord(
                f"it was filed as {filed_as(wb, last.study, last.run)} meanwhile",
                where=came.name,
                todo="look at that run; if it should not count, set it aside there",
            )
        place(wb, Placing(arrival=arrival, study=None, away=True, note=note, by=by, at=now))


def bring_back(wb: Workbench, arrival: int, *, by: str, now: datetime) -> None:
    """Let an arrival that was put away wait in the inbox again. Raises NotFound."""
    with wb.writing():
        arrivals.arrival(wb, arrival)
        last = standing(wb, arrival)
        if last is not None and last.away:
            place(wb, Placing(arrival=arrival, study=None, by=by, at=now))
