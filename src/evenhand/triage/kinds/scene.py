"""A run whose course is unlike every sibling's, however it is shifted: another scene or another route."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.triage.pairs import Pair, unshifted
from evenhand.triage.takes import LAG, Takes
from evenhand.triage.view import CellView
from evenhand.triage.wording import at_most, share

KIND = "wrong-scene"
_CUTS = (0.1587, 0.5, 0.8413)  # one sd below the median of a normal sample, it, and one above


@dataclass(frozen=True, slots=True, kw_only=True)
class Unlike:
    """How unlike its siblings a course is.

    `shape` is the least robust sd against any sibling, ln, `limit` what it had to pass, `agreement` the best
    correlation with any sibling; `score` the least of these ratios and that of how far the courses cross.
    `as_begun`: siblings begin together, so a course was held against theirs as both begin.
    """

    shape: float
    limit: float
    agreement: float
    score: float
    as_begun: bool = False


def find_unlike(takes: Takes, view: CellView) -> Unlike:
    """The least unlikeness over all siblings, against how unlike two siblings are.

    Where siblings begin together a run is compared as it began: in a short one some shift always fits.
    """
    limits = view.limits.scene
    usual = takes.shape or 0.0
    resemble = min((p.agreement for p in takes.nulls), default=1.0)
    times = limits.shapes_unlike if resemble < limits.unlike_below else limits.shapes
    limit = max(limits.least, times * usual)
    far_s = view.limits.late_start.least_s
    together = takes.worst[LAG] < far_s
    pairs = [unshifted(p, view) if together and abs(p.lag_s) >= far_s else p for p in takes.pairs]
    shape, agreement = min(p.shape for p in pairs), max(p.agreement for p in pairs)
    score = min(shape / limit, (1 - agreement) / limits.disagreement)
    if score >= 1:  # most runs need no closer look
        score = min(score, min(map(crossing, pairs)) / (limits.crosses * limit))
    return Unlike(
        shape=shape,
        limit=limit,
        agreement=agreement,
        score=score,
        as_begun=together and any(abs(p.lag_s) >= far_s for p in takes.pairs),
    )


def crossing(pair: Pair) -> float:
    """How far the two courses cross each other, ln: the lesser of what lies above and below their level.

    Two-sided, since a run that is only ever slower was disturbed; and the lesser of that with and without
    what changes slowly, since a sag is no other scene.
    """
    bins = np.arange(pair.apart.size)
    quarters = np.array_split(bins, 4)
    slowly = np.interp(bins, [q.mean() for q in quarters], [np.median(pair.apart[q]) for q in quarters])
    low, middle, high = np.quantile(np.array([pair.apart, pair.apart - slowly]), _CUTS, axis=1)
    return float(np.minimum(middle - low, high - middle).min())


def unlike_fault(found: Unlike, takes: Takes) -> Fault:
    """What was found, in words."""
    noise = takes.noise_note(found.score)
    how = "as both begin" if found.as_begun else "at any shift"
    between = f", who differ by {share(takes.shape)} among themselves" if takes.shape and takes.nulls else ""
    return Fault(
        kind=KIND,
        title="Another scene or route",
        severity=Severity.NOTE if takes.alone or noise else Severity.IN_DOUBT,
        evidence=(
            f"Along the scene this run differs by {share(found.shape)} and more from {takes.whom}{between}; "
            f"its course hardly resembles theirs ({at_most('r', found.agreement)}) {how}."
            f"{noise}{takes.pair_note}"
        ),
        todo=(
            takes.third
            if takes.alone
            else "See which scene, route or save was loaded; if it was another one, set the run aside and "
            "record the right one."
        ),
        numbers={"shape_ln": found.shape, "limit_ln": found.limit, "agreement": found.agreement},
        places=(Place(from_s=0.0, to_s=takes.run.duration_s),),
        siblings=tuple(s.id for s in takes.siblings),
    )
