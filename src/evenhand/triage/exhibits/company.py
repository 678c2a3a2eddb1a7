"""Whom a run is shown against, and its trace beside theirs."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.records.faults import Fault
from evenhand.triage.exhibits.forms import Density, Others, Traces
from evenhand.triage.features import Features
from evenhand.triage.view import CellView


def judged_against(run: Features, fault: Fault, view: CellView) -> tuple[Features, ...]:
    """The runs that a fault names, whatever setup they are of; its siblings where it names none."""
    everyone = (*view.runs, *(other for peer in view.peers for other in peer))
    named = tuple(other for other in everyone if other.id in fault.siblings and other.id != run.id)
    return named or siblings_of(run, view)


def siblings_of(run: Features, view: CellView) -> tuple[Features, ...]:
    """The other runs of the cell that nothing keeps out for good."""
    return tuple(other for other in view.runs if other.id != run.id and not view.blocked(other.id))


def traces(
    run: Features,
    siblings: Sequence[Features],
    *,
    begins_s: Sequence[float] = (),
    density: Density | None = None,
    dots: bool = False,
) -> Traces | None:
    """The usable frames of a run beside those of its siblings; None for a run without frames."""
    if not run.frames:
        return None
    return Traces(
        frame_times_ms=run.frame_times_ms,
        siblings=tuple(s.frame_times_ms for s in siblings),
        begins_s=tuple(begins_s),
        density=density,
        dots=dots,
    )


def of_peers(values: Sequence[tuple[str, tuple[float, ...]]]) -> tuple[Others, ...]:
    """The numbers of other setups, named by one of their runs; setups without a number drop out."""
    return tuple(Others(run=run, values=own) for run, own in values if own)
