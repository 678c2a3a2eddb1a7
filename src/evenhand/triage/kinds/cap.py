"""Rates held by a limiter: a refresh rate, a driver's cap, a title's own."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from evenhand.records.faults import Fault, Severity
from evenhand.triage.features import Features
from evenhand.triage.held import Held, at_line
from evenhand.triage.kinds import screen_steps
from evenhand.triage.kinds.cap_alone import flat, one_sided, piled
from evenhand.triage.kinds.cap_beside import cut_tail, line, own_beat
from evenhand.triage.kinds.cap_shared import shared
from evenhand.triage.kinds.cap_stretch import held_for_a_stretch
from evenhand.triage.kinds.lock import lock_missed, meets
from evenhand.triage.limits.rates import USUAL_RATES_FPS, CapLimits, nearest_rate
from evenhand.triage.plateaus import Shape, past, shape
from evenhand.triage.view import CellView
from evenhand.triage.wording import count, rate, share

KIND = "rate-cap"


def rate_cap(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Find held rates, by what a run shows itself, against its siblings, and by what all of them share.

    A rate that the test declares is only noted; a declared rate that was not met is a fault of its own.
    Frames that wait for the screen are told by that name alone.
    """
    limits, locked = view.limits.cap, view.company.test.locked_fps
    shapes = {run.id: _shape(run, view) for run in view.runs if _frames(run, view)}
    off = {run: lock_missed(own.run, locked, limits) if locked else None for run, own in shapes.items()}
    for run, own in shapes.items():
        missed = off[run]
        if missed is not None:
            yield run, missed
        if view.has(run, screen_steps.KIND):
            continue
        siblings = [shapes[s.id] for s in view.siblings(run) if s.id in shapes]
        held = _held(own, siblings, view)
        if held is None:
            continue
        declared = meets(held.rate_fps, locked, limits)
        if not (declared and missed is not None):
            beside = [s for s in siblings if not declared or off[s.run.id] is None]
            yield run, _fault(held, own.run, beside, view)


def _shape(run: Features, view: CellView) -> Shape:
    return view.prepared.derived(run, "shape", 0, lambda: shape(run, view.limits.cap))


def _frames(run: Features, view: CellView) -> bool:
    return run.frames > 1 and not view.has(run.id, "wrong-units", "not-frames")


def _held(own: Shape, siblings: Sequence[Shape], view: CellView) -> Held | None:
    """The first route that finds a held rate."""
    limits = view.limits.cap
    return (
        flat(own, siblings, limits)
        or one_sided(own, siblings, view)
        or piled(own, siblings, view)
        or held_for_a_stretch(own, siblings, view)
        or line(own, siblings, limits)
        or own_beat(own, siblings, limits)
        or cut_tail(own, siblings, limits, view.company.learned.scatter)
        or shared(own, siblings, view)
    )


def _beside(held: Held, siblings: Sequence[Shape], limits: CapLimits) -> str:
    """What the siblings do at this line: go past it, or are held there too."""
    if not siblings:
        return ""
    beyond = min(past(s.run, held.line, limits) for s in siblings)
    if beyond >= limits.past_least:
        return f"; every sibling spends {_at_least(beyond)} of its run past it"
    stands = [s.flat for s in siblings if s.flat is not None and s.flat.near >= limits.least_share]
    same = sum(abs(flat.centre - held.line) <= limits.listed_within for flat in stands)
    return f"; {count(same, 'sibling')} {'is' if same == 1 else 'are'} held there too" if same else ""


def _at_least(part: float) -> str:
    """A share that is not told larger than it is."""
    return "all" if part >= 1 else f"at least {share(math.floor(100 * part) / 100, 0)}"


def _near(rate_fps: float, limits: CapLimits) -> str:
    """The usual refresh rate that a rate sits on, or sits just below."""
    usual = nearest_rate(rate_fps, limits.listed_within)
    if usual is not None:
        return f", a usual refresh rate ({usual:g})"
    above = min((r for r in USUAL_RATES_FPS if r > rate_fps), default=math.inf)
    below = 1 - rate_fps / above
    if below > limits.under_within:
        return ""
    under = f"{share(below)} below a usual refresh rate ({above:g})"
    return f", {under}, where limiters for screens are often set"


def _not_held(standing: float, limits: CapLimits) -> str:
    """Why equal medians hold no run."""
    if standing < limits.same_share:
        return "no run stands still at that rate"
    return "frames do not pile up there as they do at a limiter"


def _fault(held: Held, run: Features, siblings: Sequence[Shape], view: CellView) -> Fault:
    limits, locked = view.limits.cap, view.company.test.locked_fps
    declared = meets(held.rate_fps, locked, limits)
    near = "" if declared else _near(held.rate_fps, limits)
    evidence = f"Held at {rate(held.rate_fps)}{near}: {held.shown}{_beside(held, siblings, limits)}."
    todo = (
        "Switch the limiter off (screen sync, driver, the title's own settings) and record the run "
        "again; or declare the rate in the test if it is meant."
    )
    if declared:
        todo = "Nothing: the test declares this rate. It says nothing of speed beyond it."
    elif not held.sure:
        evidence = (
            f"A shared cap? At {rate(held.rate_fps)}{near} {held.shown}; {_not_held(held.share, limits)}."
        )
        todo = (
            "If these setups should differ in this test, look for a limiter that both have; no run is held."
        )
    return Fault(
        kind=KIND,
        title="Held at the declared rate"
        if declared
        else "Held at a fixed rate"
        if held.sure
        else "A shared cap?",
        severity=Severity.NOTE if declared or not held.sure else Severity.IN_DOUBT,
        evidence=evidence,
        todo=todo,
        numbers={
            "rate_fps": held.rate_fps,
            "held_share": held.share,
            "route": float(held.route),
            **held.more,
        },
        places=held.places or at_line(held, run, limits),
        siblings=tuple(s.run.id for s in siblings),
    )
