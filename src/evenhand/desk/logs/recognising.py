"""A file that was seen before, known again by its content whatever it is called now."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.bench.placing import standing
from evenhand.publish.numbers import count_word
from evenhand.records.plans import Arrival, Placing
from evenhand.records.runs import Run
from evenhand.store import arrivals
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What a file that came in again is already, in words, and where to look at it.

    `away` is the arrival that was put away as no run; 0 where it was not.
    """

    words: str
    address: str
    away: int = 0


def recognised(wb: Workbench, digest: str) -> Known | None:
    """What the bytes of this hash are on this workbench; None where they are new, or wait for nothing."""
    runs = run_store.runs_with(wb, digest)
    if runs:
        return Known(words=of_runs(runs), address=f"/studies/{runs[0].study}/runs/{runs[0].id}")
    came = arrivals.arrivals_of(wb, digest)
    return of_arrival(came[-1], standing(wb, came[-1].id)) if came else None


def of_runs(runs: tuple[Run, ...]) -> str:
    """The runs that have a file already."""
    first, *more = runs
    others = f", and {count_word(len(more))} more" if more else ""
    return f"It is on record already, as the run {first.label}{others}."


def of_arrival(came: Arrival, last: Placing | None) -> Known:
    """What became of a file that came in before and is no run."""
    called = f", under the name {came.name}" if came.name else ""
    if last is not None and last.away:
        why = f": {last.note.rstrip('.')}" if last.note else ""
        return Known(words=f"It came in before{called}, and was put away{why}.", address="", away=came.id)
    return Known(words=f"It waits in the inbox already{called}.", address=f"/inbox#file-{came.id}")
