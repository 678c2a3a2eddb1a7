"""When a run hitched, beside when its siblings did."""

from __future__ import annotations

from evenhand.records.faults import Fault
from evenhand.triage.curves import Floats
from evenhand.triage.exhibits.company import judged_against, traces
from evenhand.triage.exhibits.forms import Exhibit, Moments
from evenhand.triage.features import Features
from evenhand.triage.hitch_moments import hitches_of
from evenhand.triage.pairs import pair
from evenhand.triage.view import CellView


def extra_hitches(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """A row of hitches for each run, siblings' moved onto the run's scene; above it the trace."""
    siblings = [s for s in judged_against(run, fault, view) if s.frames]
    begins = [_lag_s(run, s, view) for s in siblings]
    return Exhibit(
        trace=traces(run, siblings, begins_s=begins),
        below=Moments(
            own=hitches_of(run, view).at_s,
            siblings=tuple(_moved(s, by, view) for s, by in zip(siblings, begins, strict=True)),
        ),
    )


def _lag_s(run: Features, other: Features, view: CellView) -> float:
    found = pair(run, other, view)
    return 0.0 if found is None else found.lag_s


def _moved(other: Features, by_s: float, view: CellView) -> Floats:
    return hitches_of(other, view).at_s + by_s
