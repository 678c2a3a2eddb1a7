"""Rates held by a limiter: a refresh rate, a driver's cap, a title's own."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.triage.features import Features
from evenhand.triage.limits.rates import CapLimits, nearest_rate
from evenhand.triage.plateaus import Shape, held_at, past, same_medians, shape
from evenhand.triage.view import CellView
from evenhand.triage.wording import change, count, rate, share

KIND = "rate-cap"
MISSED = "lock-missed"
_PLACES = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A line that a run is held at: log of its frame time, what shows it, share of the run, and the route."""

    line: float
    shown: str
    share: float
    route: int

    @property
    def rate_fps(self) -> float:
        """The line as a rate."""
        return 1000 / math.exp(self.line)


def rate_cap(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Find held rates by four routes: flat blocks, piled-up frames, siblings past the line, equal medians.

    A rate that the test declares is only noted; a declared rate that was not met is a fault of its own.
    """
    limits, locked = view.limits.cap, view.company.test.locked_fps
    shapes = {run.id: shape(run, limits) for run in view.runs if _frames(run, view)}
    for run, own in shapes.items():
        missed = _missed(own.run, locked, limits) if locked else None
        if missed is not None:
            yield run, missed
        siblings = [shapes[s.id] for s in view.siblings(run) if s.id in shapes]
        held = _held(own, siblings, view)
        if held is not None and not (missed is not None and _meets(held.rate_fps, locked, limits)):
            yield run, _fault(held, own.run, siblings, view)


def _frames(run: Features, view: CellView) -> bool:
    return run.frames > 1 and not view.has(run.id, "wrong-units", "not-frames")


def _held(own: Shape, siblings: Sequence[Shape], view: CellView) -> Held | None:
    """The first route that finds a held rate."""
    limits = view.limits.cap
    return (
        _flat(own, siblings, limits)
        or _one_sided(own, siblings, limits)
        or _piled(own, siblings, limits)
        or _line(own, siblings, limits)
        or _shared(own, siblings, view)
    )


def _flat(own: Shape, siblings: Sequence[Shape], limits: CapLimits) -> Held | None:
    """Route 1: half-second means within 0.12 % of one rate, steadier than independent frames would be."""
    flat = own.flat
    if (
        flat is None
        or flat.near < limits.least_share
        or flat.near_blocks < limits.least_blocks
        or flat.quicker > limits.quicker_share
        or flat.near_mad > limits.plateau_mad
    ):
        return None
    still = own.run.noise <= limits.still_frames
    if not still and (
        flat.compensated > limits.compensated or _stand_apart(flat.centre, _flats(siblings, limits), limits)
    ):
        return None
    means = f"{share(flat.near, 0)} of its half-second means lie within {share(limits.near, 2)} of that rate"
    return Held(line=_line_of(own), shown=f"{means}, {_quicker(flat.quicker)}", share=flat.near, route=1)


def _one_sided(own: Shape, siblings: Sequence[Shape], limits: CapLimits) -> Held | None:
    """Route 1, one-sided: the scene falls below the line, and never goes past it."""
    flat = own.flat
    if flat is None:
        return None
    listed = nearest_rate(1000 / math.exp(flat.centre), limits.listed_within) is not None
    if (
        flat.at_side < (limits.side_share_listed if listed else limits.side_share)
        or flat.side_quicker > limits.side_quicker
        or flat.side_slower < limits.side_slower
        or flat.near_blocks < limits.least_blocks
        or not (listed or siblings)
        or _stand_apart(flat.centre, _flats(siblings, limits), limits)
    ):
        return None
    means = f"{share(flat.at_side, 0)} of its half-second means lie within {share(limits.side_width)} of it"
    shown = f"{means}, {share(flat.side_slower, 0)} are slower, {_quicker(flat.side_quicker)}"
    return Held(line=_line_of(own), shown=shown, share=flat.at_side, route=1)


def _stand_apart(centre: float, others: Sequence[float], limits: CapLimits) -> bool:
    """Whether some sibling stands still at a rate of its own, as near as free runs are: a still scene.

    `others` are the centres of siblings that stand still too. One further away than free runs lie from each
    other was held at another rate.
    """
    spread = max(others) - min(others) if others else 0.0
    reach = max(limits.own_rate_within, limits.own_rate_ranges * spread)
    return any(limits.same_span_most < abs(other - centre) < reach for other in others)


def _flats(siblings: Sequence[Shape], limits: CapLimits) -> list[float]:
    return [s.flat.centre for s in siblings if s.flat is not None and s.flat.at_side >= limits.same_share]


def _still_scene(centre: float, siblings: Sequence[Shape], limits: CapLimits, *, listed: bool) -> bool:
    """Whether siblings pile up too, at rates of their own; far off this speaks against unusual rates only."""
    piles = [s.pile.centre for s in siblings if s.pile.share >= limits.pile_share / 2]
    if listed:
        return _stand_apart(centre, piles, limits)
    return any(abs(pile - centre) > limits.same_span_most for pile in piles)


def _cut(own: Shape, siblings: Sequence[Shape], limits: CapLimits) -> bool:
    """Whether frames end at the line as if cut off, and vary less than any sibling's for it."""
    calmer = bool(siblings) and own.run.noise <= limits.cut_calmer * min(s.run.noise for s in siblings)
    return calmer and own.pile.edge <= limits.cut_edge


def _piled(own: Shape, siblings: Sequence[Shape], limits: CapLimits) -> Held | None:
    """Route 2: frames pile up at one frame time and hardly any is quicker."""
    pile = own.pile
    if (
        pile.share < limits.pile_share
        or pile.quicker >= limits.pile_quicker_share
        or pile.contrast < limits.pile_contrast
    ):
        return None
    listed = nearest_rate(1000 / math.exp(pile.centre), limits.listed_within) is not None
    sure = own.run.noise <= limits.still_frames or _cut(own, siblings, limits)
    if not sure and (not (listed or siblings) or _still_scene(pile.centre, siblings, limits, listed=listed)):
        return None
    width = share(limits.pile_window / 2, 2)
    shown = f"{share(pile.share, 0)} of its frames lie within {width} of one frame time"
    return Held(line=pile.centre, shown=f"{shown}, {_quicker(pile.quicker)}", share=pile.share, route=2)


def _line(own: Shape, siblings: Sequence[Shape], limits: CapLimits) -> Held | None:
    """Route 3: this run stays at a line that every sibling spends much of its run past."""
    if own.flat is None or not siblings:
        return None
    line = own.flat.centre
    at_line, quicker = held_at(own.run, line, limits)
    beyond = min(past(s.run, line, limits) for s in siblings)
    if (
        at_line < limits.held_share
        or quicker > limits.quicker_share
        or beyond < limits.past_share
        or any(_stillest(s, limits) > limits.tighter * at_line for s in siblings)
    ):
        return None
    means = f"{share(at_line, 0)} of its half-second means lie within {share(limits.held_tol)} of that rate"
    shown = f"{means}, {_quicker(quicker)}"
    return Held(line=line, shown=shown, share=at_line, route=3)


def _stillest(sibling: Shape, limits: CapLimits) -> float:
    """The largest share of a run's blocks that lie at one rate of its own."""
    return held_at(sibling.run, sibling.flat.centre, limits)[0] if sibling.flat is not None else 1.0


def _shared(own: Shape, siblings: Sequence[Shape], view: CellView) -> Held | None:
    """Route 4: all runs have one median, closer than free runs repeat theirs."""
    limits, centre = view.limits.cap, math.log(own.run.median_ms)
    runs = [own.run, *(s.run for s in siblings)]
    if len(runs) < 2 or not same_medians(runs, limits):
        return None
    alike = sum(
        len(p) for p in view.peers if all(q.frames > 1 for q in p) and same_medians([*runs, *p], limits)
    )
    listed = nearest_rate(1000 / own.run.median_ms, limits.listed_within) is not None
    standing = min(held_at(run, centre, limits)[0] for run in runs)
    if standing < limits.same_share or (len(runs) + alike < limits.same_runs and not listed):
        return None
    spread = max(r.median_ms for r in runs) / min(r.median_ms for r in runs) - 1
    shown = f"the medians of {count(len(runs), 'run')} lie within {share(spread, 3)} of each other"
    also = f", and those of {count(alike, 'run')} of another setup with them" if alike else ""
    return Held(line=centre, shown=shown + also, share=standing, route=4)


def _line_of(own: Shape) -> float:
    """The line of a flat run: where its frames pile up, since means also hold the frames that missed it."""
    assert own.flat is not None
    piled = own.pile.share >= 0.25 and abs(own.pile.centre - own.flat.centre) < 0.003
    return own.pile.centre if piled else own.flat.centre


def _quicker(part: float) -> str:
    return "none is quicker" if part == 0 else f"{share(part)} are quicker"


def _meets(rate_fps: float, locked: float | None, limits: CapLimits) -> bool:
    return locked is not None and abs(math.log(rate_fps / locked)) <= limits.locked_within


def _beside(held: Held, siblings: Sequence[Shape], limits: CapLimits) -> str:
    """What the siblings do at this line: go past it, or are held there too."""
    if not siblings:
        return ""
    beyond = min(past(s.run, held.line, limits) for s in siblings)
    if beyond >= limits.past_least:
        return f"; every sibling spends {share(beyond, 0)} of its run or more past it"
    flats = [s.flat for s in siblings if s.flat is not None and s.flat.near >= limits.least_share]
    same = sum(abs(flat.centre - held.line) <= limits.listed_within for flat in flats)
    return f"; {count(same, 'sibling')} {'is' if same == 1 else 'are'} held there too" if same else ""


def _places(held: Held, run: Features, limits: CapLimits) -> tuple[Place, ...]:
    """The longest stretches at the line, in order of time."""
    at = np.flatnonzero(np.abs(run.blocks - held.line) <= limits.held_tol)
    stretches = np.split(at, np.flatnonzero(np.diff(at) > 1) + 1)
    longest = sorted(sorted(stretches, key=len)[-_PLACES:], key=lambda s: s[:1].tolist())
    starts = run.block_starts_s
    return tuple(
        Place(from_s=float(starts[s[0]]), to_s=float(starts[s[-1]] + run.block_s)) for s in longest if s.size
    )


def _fault(held: Held, run: Features, siblings: Sequence[Shape], view: CellView) -> Fault:
    limits, locked = view.limits.cap, view.company.test.locked_fps
    declared = _meets(held.rate_fps, locked, limits)
    listed = nearest_rate(held.rate_fps, limits.listed_within)
    near = f", a usual refresh rate ({listed:g})" if listed and not declared else ""
    return Fault(
        kind=KIND,
        title="Held at the declared rate" if declared else "Held at a fixed rate",
        severity=Severity.NOTE if declared else Severity.IN_DOUBT,
        evidence=f"Held at {rate(held.rate_fps)}{near}: {held.shown}{_beside(held, siblings, limits)}.",
        todo=(
            "Nothing: the test declares this rate. It says nothing of speed beyond it."
            if declared
            else "Switch the limiter off (screen sync, driver, the title's own settings) and record the run "
            "again; or declare the rate in the test if it is meant."
        ),
        numbers={"rate_fps": held.rate_fps, "held_share": held.share, "route": float(held.route)},
        places=_places(held, run, limits),
        siblings=tuple(s.run.id for s in siblings),
    )


def _missed(run: Features, locked: float, limits: CapLimits) -> Fault | None:
    """A declared rate that was not met: the limiter was off, or the machine could not keep up."""
    middle = 1000 / run.median_ms
    average = run.frames / run.duration_s
    off = abs(math.log(average / locked)) > limits.locked_average
    if _meets(middle, locked, limits) and not off:
        return None
    quick = average > locked
    return Fault(
        kind=MISSED,
        title="Declared rate not met",
        severity=Severity.IN_DOUBT,
        evidence=(
            f"The test declares {rate(locked)}; this run averages {rate(average)} "
            f"({change(average / locked)}), {rate(middle)} in the median."
        ),
        todo=(
            "The limiter was off or set otherwise: set it and record the run again."
            if quick
            else "If the machine cannot hold the rate, keep the run and say so; else look for what slowed it."
        ),
        numbers={"declared_fps": locked, "average_fps": average, "median_fps": middle},
        behaviour=not quick,
    )
