"""A limiter that was on for a stretch of the run: frames are steady there, and free before and after."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from evenhand.triage.held import Held, longest
from evenhand.triage.limits.rates import CapLimits
from evenhand.triage.plateaus import Shape
from evenhand.triage.quiet import Chunks, Stretch, chunks_of, noise_within, stretch
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, count, moment, share


def held_for_a_stretch(own: Shape, siblings: Sequence[Shape], view: CellView) -> Held | None:
    """Route 7: a stretch in which frames hardly differ, while siblings go on as before at that time.

    Where siblings are as steady there, or where there are none, it may be a still part of the scene. It is
    then a limiter only if frames differ as little as a renderer's never do unasked.
    """
    limits = view.limits.cap
    mine, theirs = chunks_of(own.run, view), [chunks_of(s.run, view) for s in siblings]
    if not mine.noise.size:
        return None
    found = stretch(mine, _usual(mine, theirs), limits)
    if found is None or not (_others_go_on(found, theirs, limits) or _too_steady(found, mine, limits)):
        return None
    part = found.held_s / own.run.duration_s
    noisier = min((noise_within(t, found.held) for t in theirs), default=float("nan"))
    beside = f", siblings there by {share(noisier, 2)} or more" if noisier > found.noise else ""
    return Held(
        line=found.line,
        shown=(
            f"{_when(found)} ({share(part, 0)} of the run) frames "
            f"differ from the one before by {share(found.noise, 2)}, "
            f"{share(found.elsewhere, 2)} elsewhere{beside}"
        ),
        share=part,
        route=7,
        places=longest(found.held),
        more={"step_there": found.noise, "held_s": found.held_s, "pieces": float(len(found.held))},
    )


def _when(found: Stretch) -> str:
    """When the run is held, and for how long where the scene falls below the line in between."""
    ends = f"from {moment(found.held[0].from_s)} to {moment(found.held[-1].to_s)}"
    if len(found.held) == 1:
        return ends
    return f"for {amount(found.held_s, 1, 's')} in {count(len(found.held), 'piece')} {ends}"


def _usual(mine: Chunks, theirs: Sequence[Chunks]) -> float:
    """Steps from frame to frame where nothing holds them: the calmest sibling's, else the run's largest."""
    typical = [t.usual_noise for t in theirs if t.noise.size]
    return max(min(typical, default=0.0), float(np.quantile(mine.noise, 0.9)) if not typical else 0.0)


def _others_go_on(found: Stretch, theirs: Sequence[Chunks], limits: CapLimits) -> bool:
    """Whether every sibling's frames differ as usual at that time."""
    noises = [noise_within(t, found.held) for t in theirs]
    return bool(noises) and all(found.noise <= limits.quiet_noise * there for there in noises)


def _too_steady(found: Stretch, mine: Chunks, limits: CapLimits) -> bool:
    """Whether frames differ less than a renderer's, at one rate to 0.035 %, while they are free elsewhere."""
    middles = mine.middles[found.first : found.end]
    flat = float(np.median(np.abs(middles - found.line))) <= limits.plateau_mad
    return flat and found.noise <= min(limits.quiet_alone, limits.quiet_noise_alone * found.elsewhere)
