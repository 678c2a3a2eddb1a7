"""A take that begins earlier or later in the scene than every sibling."""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import median

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.triage.features import Features
from evenhand.triage.limits.course_kinds import LateStartLimits
from evenhand.triage.pairs import Pair, agreed, shifted
from evenhand.triage.takes import LAG, Takes
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, at_least, span

KIND = "late-start"
_TRIED = 9  # shifts about the one that most siblings ask for


@dataclass(frozen=True, slots=True, kw_only=True)
class Before:
    """The usual frame time of what was logged before a scene, and the range of the scene's own, ms."""

    usual_ms: float
    scene_low_ms: float
    scene_high_ms: float


@dataclass(frozen=True, slots=True, kw_only=True)
class LateStart:
    """How much later in the scene a take begins than its siblings, s (earlier: negative), and the limit.

    `lags_s` are the shifts against each sibling, `agreement` the least correlation once shifted. `before` is
    what was logged before the scene, where the start is none of it: a loading screen.
    """

    by_s: float
    limit_s: float
    lags_s: tuple[float, ...]
    agreement: float
    before: Before | None = None

    @property
    def score(self) -> float:
        """How far past its limit."""
        return abs(self.by_s) / self.limit_s


def find_late_start(takes: Takes, view: CellView) -> LateStart:
    """The shift that every sibling asks for and that brings the run over each of them.

    Siblings that do not resemble each other have no course to be late in.
    """
    limits, scene = view.limits.late_start, view.limits.scene
    resemble = min((p.agreement for p in takes.nulls), default=limits.agreement)
    agreement = max(limits.agreement * takes.strictness, resemble - limits.agreement_lost)
    alike = max(scene.least, scene.shapes * (takes.shape or 0.0))
    pairs = [_as_most_ask(p, takes, view) for p in takes.pairs]
    plain = resemble >= limits.agreement and all(
        p.gain >= limits.least_gain and p.agreement >= agreement and p.shape <= alike for p in pairs
    )
    lags = tuple(-p.lag_s for p in pairs)
    by_s = agreed(lags)
    one = max(lags) - min(lags) <= max(limits.apart_s, limits.apart_share * abs(by_s))
    usual_s = float(takes.worst[LAG])
    return LateStart(
        by_s=by_s if plain and one else 0.0,
        before=_before(takes.run, -by_s, limits) if plain and one and by_s < 0 else None,
        limit_s=takes.strictness * max(limits.least_s, limits.of_worst * usual_s),
        lags_s=lags,
        agreement=min(p.agreement for p in pairs),
    )


def _as_most_ask(one: Pair, takes: Takes, view: CellView) -> Pair:
    """A pair near the shift that most siblings ask for, where that makes the courses more alike than its own.

    Takes of unlike pace have no one shift, and the best of one pair among many may be another by chance.
    """
    limits, lag_s = view.limits.late_start, median([p.lag_s for p in takes.pairs])
    if abs(one.lag_s - lag_s) <= max(limits.apart_s, limits.apart_share * abs(lag_s)):
        return one
    near = np.linspace(lag_s - limits.apart_s / 2, lag_s + limits.apart_s / 2, _TRIED)
    return max((one, *(shifted(one, float(lag), view) for lag in near)), key=lambda p: p.agreement)


def _before(run: Features, lasts_s: float, limits: LateStartLimits) -> Before | None:
    """What a take that begins early shows first, where the scene's own frames seldom take so long."""
    start = run.begins_s < lasts_s
    if start.all() or not start.any():
        return None
    usual, rest = float(np.median(run.log_ms[start])), run.log_ms[~start & run.calm]
    if not rest.size:
        return None
    few = limits.before_beyond_course
    low, high = (float(edge) for edge in np.quantile(rest, (few, 1 - few)))
    if low - limits.before_beyond <= usual <= high + limits.before_beyond:
        return None
    return Before(usual_ms=math.exp(usual), scene_low_ms=math.exp(low), scene_high_ms=math.exp(high))


def late_start_fault(found: LateStart, takes: Takes) -> Fault:
    """What was found, in words."""
    word = "later" if found.by_s > 0 else "earlier"
    lost = {} if found.before is None else {"lost_s": -found.by_s, "before_ms": found.before.usual_ms}
    return Fault(
        kind=KIND,
        title=f"Begins {word} in the scene" if found.before is None else "Begins before the scene",
        severity=Severity.NOTE if takes.alone else Severity.IN_DOUBT,
        evidence=_sentence(found, takes, word) + takes.pair_note,
        todo=takes.third if takes.alone else _todo(found),
        numbers={"later_s": found.by_s, "limit_s": found.limit_s, "agreement": found.agreement} | lost,
        places=_unshared(found, takes),
        siblings=tuple(s.id for s in takes.siblings),
    )


def _sentence(found: LateStart, takes: Takes, word: str) -> str:
    shifts = span(min(map(abs, found.lags_s)), max(map(abs, found.lags_s)), 1, "s")
    them, over = "it" if takes.alone else "them", at_least("r", found.agreement)
    if found.before is not None:
        own = amount(found.before.usual_ms, 1, "ms")
        scene = span(found.before.scene_low_ms, found.before.scene_high_ms, 1, "ms")
        return (
            f"Its first {shifts} stand before the scene of {takes.whom}: frames take {own} there and {scene} "
            f"in the scene, as while something loads; from then on it lies over {them} ({over})."
        )
    other = "another piece of the scene" + (", or what loads before it" if found.by_s < 0 else "")
    return (
        f"This take begins {shifts} {word} in the scene than {takes.whom}: shifted by that it lies over "
        f"{them} ({over}), so it measures {other}."
    )


def _todo(found: LateStart) -> str:
    """What to do; a start that is none of the scene can be cut off."""
    if found.before is None:
        return "Record it again, started at the same moment as the others."
    window = f"let its measured window begin after {amount(-found.by_s, 1, 's')}"
    return f"Start the log once the scene has loaded and record it again; or {window}."


def _unshared(found: LateStart, takes: Takes) -> tuple[Place, ...]:
    """The end that no sibling reaches where the take begins late; its start where it begins early."""
    length_s = takes.run.duration_s
    if found.by_s < 0:
        return (Place(from_s=0.0, to_s=min(-found.by_s, length_s)),)
    return (Place(from_s=max(0.0, length_s - found.by_s), to_s=length_s),)
