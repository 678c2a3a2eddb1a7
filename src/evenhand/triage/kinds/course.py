"""The course of a run against its siblings': of four ways in which it can differ, the strongest is told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from evenhand.records.faults import Fault, Severity
from evenhand.triage.consequences import CAUSES, cause_of
from evenhand.triage.features import Features, robust_spread
from evenhand.triage.kinds.late_start import LateStart, find_late_start, late_start_fault
from evenhand.triage.kinds.sag import Sag, find_sag, sag_fault
from evenhand.triage.kinds.scene import Unlike, find_unlike, unlike_fault
from evenhand.triage.kinds.stretch import (
    Standstill,
    Stretch,
    as_taken,
    find_standstill,
    find_stretch,
    standstill_fault,
    stretch_fault,
)
from evenhand.triage.limits.course_kinds import StretchLimits
from evenhand.triage.pairs import unshifted
from evenhand.triage.resumption import resumption
from evenhand.triage.takes import Takes, takes_of
from evenhand.triage.view import CellView
from evenhand.triage.what_parts_did import what_parts_did

_EXPLAINED = ("wrong-units", "not-frames", "twin", "rate-cap", "lock-missed", "screen-steps")
_ONE_SIDED = ("slow-stretch", "slow-sag")


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

    Not judged: runs held for something that explains their course. Not told: what follows from a clock that
    fell, or from another fault of the sensors, and begins with it. Of two runs nobody can say which is odd:
    both get a note, save where one of them stands still.
    """
    told: dict[str, Fault] = {}
    for run in view.runs:
        if view.blocked(run.id) or not run.frames or _has(view, run, _EXPLAINED):
            continue
        fault = strongest(signs_of(run, view), view)
        if fault is not None and cause_of(fault, run, view) is None:
            told[run.id] = fault
    yield from _both(told, view).items()


def _both(told: dict[str, Fault], view: CellView) -> dict[str, Fault]:
    """What is told of the runs, and of two runs to both: the slower one's note stands for the pair."""
    answer = dict(told)
    for run in view.runs:
        fault = told.get(run.id)
        if fault is None or fault.severity is not Severity.NOTE or len(fault.siblings) != 1:
            continue
        (other,) = fault.siblings
        if other not in told or (fault.kind in _ONE_SIDED and told[other].kind not in _ONE_SIDED):
            answer[other] = _mirrored(fault, run)
    return answer


def signs_of(run: Features, view: CellView) -> Signs:
    """Every sign of one run, past its limit or not."""
    takes = takes_of(run, view)
    if takes is None:
        return Signs(takes=None, standstill=find_standstill(run, None, view))
    return Signs(
        takes=takes,
        sag=None if _has(view, run, CAUSES) else find_sag(takes, view),
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
    sags = signs.sag is not None and signs.sag.score >= 1 and not (signs.sag.brief and takes.alone)
    heat = signs.sag is not None and sags and signs.sag.slower <= view.limits.sag.most
    stretch = signs.stretch
    unlike = signs.unlike if signs.unlike is not None and signs.unlike.score >= 1 else None
    if unlike is not None and not (
        _waits(stretch, takes, view) or _like_them_outside(stretch, unlike, takes, view)
    ):
        return unlike_fault(unlike, takes)
    if stretch is not None and stretch.score >= 1 and not (heat and _lasts(stretch, takes, limits)):
        return stretch_fault(as_taken(stretch, takes, view), takes)
    if signs.sag is None or not sags:
        return None
    return sag_fault(signs.sag, takes, what_parts_did(takes.run, signs.sag.slower, view))


def _lasts(stretch: Stretch, takes: Takes, limits: StretchLimits) -> bool:
    """Whether the stretch is the worst part of a sag: begun before the last moments, and never ended."""
    early = stretch.from_s < limits.begins_before * takes.run.duration_s
    return early and stretch.after >= limits.persists * stretch.worst


def _waits(stretch: Stretch | None, takes: Takes, view: CellView) -> bool:
    """Whether the course is unlike only because the scene waited during a slow stretch."""
    if stretch is None or stretch.score < 1:
        return False
    least = 1 - view.limits.scene.disagreement
    begun = (unshifted(p, view) if abs(p.lag_s) >= view.limits.late_start.least_s else p for p in takes.pairs)
    resumed = (resumption(p, stretch.from_s, stretch.to_s, view) for p in begun)
    return all(found.agreement >= least for found in resumed)


def _like_them_outside(stretch: Stretch | None, unlike: Unlike, takes: Takes, view: CellView) -> bool:
    """Whether a run is as near its siblings as they are to each other wherever a slow stretch is not.

    In a scene that hardly changes no course resembles another, and a long stretch alone makes one unlike.
    """
    if stretch is None or stretch.score < 1:
        return False
    most = view.limits.scene.outside * unlike.limit
    outside = (p.apart[(p.at_s + p.bin_s < stretch.from_s) | (p.at_s > stretch.to_s)] for p in takes.pairs)
    return all(
        apart.size >= view.limits.curve.fewest_bins and robust_spread(apart) <= most for apart in outside
    )


def _has(view: CellView, run: Features, kinds: tuple[str, ...]) -> bool:
    return any(f.kind in kinds and f.severity is not Severity.NOTE for f in view.found[run.id])


def _mirrored(fault: Fault, run: Features) -> Fault:
    """The same note, on the only sibling."""
    told = fault.evidence[:1].lower() + fault.evidence[1:]
    return replace(
        fault,
        title="Differs from its only sibling",
        evidence=f"Told of {run.run.label}, its only sibling: {told}",
        places=(),
        siblings=(run.id,),
        behaviour=False,
    )
