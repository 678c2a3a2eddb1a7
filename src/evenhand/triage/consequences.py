"""Whether what is odd about the course of a run is what another fault of it does to its frames."""

from __future__ import annotations

import math

import numpy as np

from evenhand.records.faults import Fault, Severity
from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.lags import correlation
from evenhand.triage.limits.course_kinds import ConsequenceLimits
from evenhand.triage.pairs import Pair, line_of, pairs_of
from evenhand.triage.scene_axes import Axis
from evenhand.triage.view import CellView

CAUSES = ("throttling", "power-limit", "fan-failure", "memory-full", "background-load")
"""Kinds that slow the frames from their place on."""

_RATIOS = {"throttling": "to_over_from", "power-limit": "power_over_siblings"}
_PACES = 17


def cause_of(fault: Fault, run: Features, view: CellView) -> Fault | None:
    """The fault this run is held for that a finding on its course follows from; None where none explains it.

    A slow stretch or a sag follows from a fault in whose place it begins, or a little before: readings come
    late. It may not lose far more than the clock or the power fell. Another scene is none where the courses
    agree once the part after the fall is played more slowly: many scenes go by frames.
    """
    held = (f for f in view.found[run.id] if f.kind in CAUSES and f.severity is not Severity.NOTE)
    if fault.kind == "wrong-scene":
        return next((cause for cause in held if _still_the_scene(cause, run, view)), None)
    return next((cause for cause in held if _slowed(fault, cause, run, view.limits.consequence)), None)


def _slowed(fault: Fault, cause: Fault, run: Features, limits: ConsequenceLimits) -> bool:
    if fault.kind not in ("slow-stretch", "slow-sag"):
        return False
    slower = fault.numbers.get("slower_ln")
    if slower is None:  # a standstill: no part runs so slowly, but a full memory or a guest may stop it
        if cause.kind in _RATIOS or cause.kind == "fan-failure":
            return False
    elif slower > most_slower(cause, limits):
        return False
    begins_s = min((p.from_s for p in fault.places), default=0.0)
    spans = [(p.from_s, p.to_s) for p in cause.places] or [(0.0, run.duration_s)]
    return any(start - limits.early_s <= begins_s <= end + limits.early_s for start, end in spans)


def most_slower(cause: Fault, limits: ConsequenceLimits) -> float:
    """By how much a fault may slow frames at most, ln; inf where its numbers set no bound."""
    ratio = cause.numbers.get(_RATIOS.get(cause.kind, ""), 0.0)
    return limits.factor * abs(math.log(ratio)) + limits.beyond if ratio > 0 else math.inf


def _still_the_scene(cause: Fault, run: Features, view: CellView) -> bool:
    """Whether some sibling's course agrees with the run's where its scene goes on more slowly from there."""
    limits = view.limits.consequence
    from_s = min((p.from_s for p in cause.places), default=0.0)
    slowest = math.exp(-min(most_slower(cause, limits), limits.most_slowed))
    paces = np.linspace(slowest, 1.0, _PACES)
    least = 1 - view.limits.scene.disagreement
    pairs = pairs_of(run, view)
    return any(agreement_slowed(p, from_s, float(pace), view) >= least for p in pairs for pace in paces)


def agreement_slowed(laid: Pair, from_s: float, pace: float, view: CellView) -> float:
    """How well two courses agree if from a moment on the run's scene goes on at this pace, begun together.

    Each part about its own mean: what the fault costs is no matter of the scene.
    """
    limits = view.limits.curve
    mine, theirs = (line_of(r, Axis.TIME, laid.bin_s, view).curve for r in (laid.run, laid.other))
    cuts: Floats = laid.bin_s * np.arange(int(mine.length / laid.bin_s) + 1, dtype=float)
    there = np.where(cuts < from_s, cuts, from_s + pace * (cuts - from_s))
    a, b = mine.over(cuts, least_calm=limits.least_calm), theirs.over(there, least_calm=limits.least_calm)
    known, after = np.isfinite(a) & np.isfinite(b), cuts[:-1] >= from_s
    parts = [part for side in (known & ~after, known & after) if (part := np.flatnonzero(side)).size]
    if sum(part.size for part in parts) < limits.fewest_bins:
        return 0.0
    own, others = (np.concatenate([v[part] - v[part].mean() for part in parts]) for v in (a, b))
    return correlation(own, others)
