"""The course of a run against its siblings': of four ways in which it can differ, the strongest is told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from evenhand.records.faults import Fault, Severity
from evenhand.triage.features import Features
from evenhand.triage.kinds.late_start import LateStart, find_late_start, late_start_fault
from evenhand.triage.kinds.sag import Sag, find_sag, sag_fault
from evenhand.triage.kinds.scene import Unlike, find_unlike, unlike_fault
from evenhand.triage.kinds.stretch import (
    Standstill,
    Stretch,
    find_standstill,
    find_stretch,
    standstill_fault,
    stretch_fault,
)
from evenhand.triage.takes import Takes, takes_of
from evenhand.triage.view import CellView

_EXPLAINED = ("wrong-units", "not-frames", "twin", "rate-cap", "lock-missed", "screen-steps")
_FALLEN = ("throttling", "power-limit", "fan-failure", "memory-full", "background-load")


@dataclass(frozen=True, slots=True, kw_only=True)
class Signs:
    """What each way of looking at the course of one run says; None where it could not look."""

    takes: Takes | None
    sag: Sag | None = None
    stretch: Stretch | None = None
    standstill: Standstill | None = None
    late: LateStart | None = None
    unlike: Unlike | None = None


def course_of_run(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Sag, slow stretch, late start or another scene: the strongest of them for each run.

    Not judged: runs held for something that explains their course. Of two runs nobody can say which is odd:
    both get a note, save where one of them stands still.
    """
    for run in view.runs:
        if view.blocked(run.id) or not run.frames or _has(view, run, _EXPLAINED):
            continue
        signs = signs_of(run, view)
        fault = strongest(signs, view)
        if fault is None:
            continue
        yield run.id, fault
        if signs.takes is not None and signs.takes.alone and fault.severity is Severity.NOTE:
            yield signs.takes.siblings[0].id, _mirrored(fault, run)


def signs_of(run: Features, view: CellView) -> Signs:
    """Every sign of one run, past its limit or not."""
    takes = takes_of(run, view)
    if takes is None:
        return Signs(takes=None, standstill=find_standstill(run, None, view))
    return Signs(
        takes=takes,
        sag=None if _has(view, run, _FALLEN) else find_sag(takes, view),
        stretch=find_stretch(takes, view),
        standstill=find_standstill(run, takes, view),
        late=find_late_start(takes, view),
        unlike=find_unlike(takes, view),
    )


def strongest(signs: Signs, view: CellView) -> Fault | None:
    """The sign that explains the others, in words; None where none is past its limit.

    A late start comes first, since the others are measured on what the shift leaves; then a standstill, which
    is plain; then another scene, whose course crosses the siblings' in stretches. What stays slow to the end
    is a sag rather than a stretch.
    """
    takes, limits = signs.takes, view.limits.stretch
    if takes is None:
        plain = signs.standstill
        return standstill_fault(plain, (), limits) if plain is not None and plain.score >= 1 else None
    if signs.late is not None and signs.late.score >= 1:
        return late_start_fault(signs.late, takes)
    if signs.standstill is not None and signs.standstill.score >= 1:
        return standstill_fault(signs.standstill, takes.siblings, limits)
    if signs.unlike is not None and signs.unlike.score >= 1:
        return unlike_fault(signs.unlike, takes)
    sags = signs.sag is not None and signs.sag.score >= 1
    stretch = signs.stretch
    if stretch is not None and stretch.score >= 1 and not (sags and stretch.lasts(limits.persists)):
        return stretch_fault(stretch, takes)
    return sag_fault(signs.sag, takes) if signs.sag is not None and sags else None


def _has(view: CellView, run: Features, kinds: tuple[str, ...]) -> bool:
    return any(f.kind in kinds and f.severity is not Severity.NOTE for f in view.found[run.id])


def _mirrored(fault: Fault, run: Features) -> Fault:
    """The same note, on the only sibling."""
    return replace(
        fault,
        title="Differs from its only sibling",
        evidence=f"Seen on {run.run.label}: {fault.evidence}",
        places=(),
        siblings=(run.id,),
        behaviour=False,
    )
