"""A stretch in which a run is slower than every sibling: loading, another program, a pause."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.stats.medians import medians_known
from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.limits.course_kinds import StretchLimits
from evenhand.triage.pauses import Pause, pauses_of
from evenhand.triage.stretches import (
    agreed_along,
    departure,
    means_over,
    moving_means,
    on_grid,
    running,
    sizes,
)
from evenhand.triage.takes import Takes
from evenhand.triage.usual_course import taken_beyond
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, count, longer, moment, share

KIND = "slow-stretch"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """The slowest stretch of a run against all its siblings.

    `worst` is the agreed distance over its worst `worst_s`, in logs of frame time, `limit` what that had to
    pass, `score` their ratio. The stretch is the whole departure about it, `slower` by the same measure and
    `lost_s` the time lost in it; `after` is how much stays until the end of the run.
    """

    from_s: float
    to_s: float
    slower: float
    worst: float
    worst_s: float
    limit: float
    after: float
    lost_s: float

    @property
    def score(self) -> float:
        """How far past its limit."""
        return self.worst / self.limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Standstill:
    """A pause of a run that no sibling makes: by how much it is longer than the longest of theirs."""

    pause: Pause
    longest_other_s: float
    score: float


def find_stretch(takes: Takes, view: CellView) -> Stretch | None:
    """The stretch furthest past its limit, whether or not it passes; None where none fits or lasts."""
    limits = view.limits.stretch
    bin_s = max(p.bin_s for p in takes.pairs)
    apart = _apart(takes, bin_s)
    sums = running(apart)
    allowed = limits_along(takes, view)
    best: tuple[float, int, int, float, float] | None = None
    for size, limit in zip(sizes(limits, bin_s), allowed, strict=True):
        if size > limits.most_share * apart.shape[1]:
            break
        least = agreed_along(means_over(sums, size, least_known=limits.least_known), min(2, len(takes.pairs)))
        at = int(np.argmax(least))
        if best is None or least[at] / limit > best[0]:
            best = (least[at] / limit, at, size, float(least[at]), limit)
    if best is None or not np.isfinite(best[0]):
        return None
    _, at, size, worst, limit = best
    found = _told(apart, bin_s, (at, at + size), worst, limit)
    return found if found.to_s - found.from_s >= limits.least_s else None


def limits_along(takes: Takes, view: CellView) -> Floats:
    """By how much a run must be slower over each window, ln: what good pairs never reach; shape (w,)."""
    limits = view.limits.stretch
    bins = np.array(sizes(limits, max(p.bin_s for p in takes.pairs)))
    spreads = limits.spreads_few if takes.few else limits.spreads_many
    measured, worst = takes.swings
    weight = takes.weight
    prior = limits.prior**2 / bins
    sd = np.sqrt((limits.prior_pairs * prior + weight * measured) / (limits.prior_pairs + weight))
    least = np.maximum(limits.least, np.maximum(spreads * sd, limits.of_worst * worst))
    return np.asarray(takes.strictness * least)


def _apart(takes: Takes, bin_s: float) -> Floats:
    """Distance to each sibling in bins of the run's own time; shape (siblings, bins)."""
    count = int(takes.run.duration_s / bin_s)
    return np.array([on_grid(p, bin_s, count) for p in takes.pairs])


def _told(apart: Floats, bin_s: float, window: tuple[int, int], worst: float, limit: float) -> Stretch:
    """The window, grown over the whole departure about it."""
    usual = _middle(apart)
    start, end = departure(usual, window, worst / 2)
    inside, after = usual[start:end], usual[end:]
    inside, after = inside[np.isfinite(inside)], after[np.isfinite(after)]
    over = agreed_along(moving_means(apart[:, start:end], end - start, least_known=0.0), 1)
    return Stretch(
        from_s=bin_s * start,
        to_s=bin_s * end,
        slower=float(over[0]) if np.isfinite(over[0]) else worst,
        worst=worst,
        worst_s=bin_s * (window[1] - window[0]),
        limit=limit,
        after=float(np.median(after)) if after.size >= 3 else worst,
        lost_s=max(0.0, bin_s * float((1 - np.exp(-inside)).sum())),
    )


def _middle(apart: Floats) -> Floats:
    """The median over all siblings that know a bin; NaN where none does."""
    return medians_known(apart)


def as_taken(found: Stretch, takes: Takes, view: CellView) -> Stretch:
    """The stretch from its first slow frame to its last, and what all its frames took and lost."""
    taken = taken_beyond(takes.pairs, found.from_s, found.to_s, found.worst, view)
    if taken is None or taken.slower <= 0:
        return found
    return replace(found, from_s=taken.from_s, to_s=taken.to_s, slower=taken.slower, lost_s=taken.lost_s)


def stretch_fault(found: Stretch, takes: Takes) -> Fault:
    """What was found, in words."""
    noise = takes.noise_note(found.score)
    lasts_s = found.to_s - found.from_s
    return Fault(
        kind=KIND,
        title="A slow stretch",
        severity=Severity.NOTE if takes.alone or noise else Severity.IN_DOUBT,
        evidence=(
            f"For {amount(lasts_s, 1, 's')} from {moment(found.from_s)} on frames take "
            f"{longer(math.exp(found.slower))} in {_beside(takes)}, about "
            f"{amount(found.lost_s, 1, 's')} lost; {_allowed(found, takes)}.{noise}{takes.pair_note}"
        ),
        todo=takes.third if takes.alone else _TODO,
        numbers={
            "from_s": found.from_s,
            "lasts_s": lasts_s,
            "slower_ln": found.slower,
            "worst_ln": found.worst,
            "worst_s": found.worst_s,
            "limit_ln": found.limit,
            "lost_s": found.lost_s,
        },
        places=(Place(from_s=found.from_s, to_s=found.to_s),),
        siblings=tuple(s.id for s in takes.siblings),
    )


def _beside(takes: Takes) -> str:
    return takes.whom if takes.alone else f"its {len(takes.pairs)} siblings"


def _allowed(found: Stretch, takes: Takes) -> str:
    """What good takes do over the stretch, or over its worst part where all of it is no more than that."""
    most = share(math.expm1(found.limit))
    good = f"good takes of this test stay within {most}"
    if not takes.weight:
        good = (
            f"no other takes of this test are known; by default good takes are believed to stay within {most}"
        )
    if found.slower > found.limit:
        return f"{good} over such a stretch"
    worst = f"over its worst {amount(found.worst_s, 1, 's')} {share(math.expm1(found.worst))}"
    return f"{worst}, where {good}" if takes.weight else f"{worst}; {good}"


_TODO = "See whether it was loading or another program was at work there; record it again once that is off."


def find_standstill(run: Features, takes: Takes | None, view: CellView) -> Standstill | None:
    """The pause furthest beyond any pause of siblings and other setups; None without a pause.

    Without a sibling it is measured against other setups alone.
    """
    limits = view.limits.stretch
    own = pauses_of(run, view)
    if not own:
        return None
    pause = max(own, key=lambda p: p.lost_s)
    beside = takes.siblings if takes is not None else ()
    others = [p.lost_s for r in beside for p in pauses_of(r, view)]
    for peer in view.peers:
        longest = [max((p.lost_s for p in pauses_of(r, view)), default=0.0) for r in peer]
        others.append(float(np.median(longest)) if longest else 0.0)
    most = max(others, default=0.0)
    return Standstill(
        pause=pause,
        longest_other_s=most,
        score=pause.lost_s / max(limits.pause_s, limits.pause_ratio * most),
    )


def standstill_fault(found: Standstill, siblings: Sequence[Features], limits: StretchLimits) -> Fault:
    """What was found, in words.

    A run that stands still carries the proof itself: one sibling that passes the place is witness enough.
    Without any, the scene may be one that loads there, and it is only told.
    """
    pause = found.pause
    plain = pause.longest_ms >= limits.plain_ratio * pause.usual_ms
    held = len(siblings) > 1 or (bool(siblings) and plain)
    other = f"no pause of {_whom(siblings)} takes longer than {amount(found.longest_other_s, 1, 's')}"
    beside = (
        other
        if found.longest_other_s
        else f"{_whom(siblings)} {'makes' if len(siblings) == 1 else 'make'} no pause"
    )
    alone = " Without a sibling nobody can say whether the scene loads there." if not siblings else ""
    return Fault(
        kind=KIND,
        title="Stands still",
        severity=Severity.IN_DOUBT if held else Severity.NOTE,
        evidence=(
            f"At {moment(pause.start_s)} the run stands still: "
            f"{_frames_of(pause)} {amount(pause.longest_ms, 0, 'ms')}, "
            f"where {amount(pause.usual_ms, 1, 'ms')} is usual, "
            f"{amount(pause.lost_s, 1, 's')} lost" + (f"; {beside}." if siblings else ".") + alone
        ),
        todo=_TODO,
        numbers={
            "from_s": pause.start_s,
            "lasts_s": pause.end_s - pause.start_s,
            "lost_s": pause.lost_s,
            "longest_ms": pause.longest_ms,
            "usual_ms": pause.usual_ms,
            "longest_other_s": found.longest_other_s,
        },
        places=(Place(from_s=pause.start_s, to_s=pause.end_s),),
        siblings=tuple(s.id for s in siblings),
    )


def _frames_of(pause: Pause) -> str:
    """How many frames it is made of, and a word for the length of the longest."""
    frames = pause.last - pause.first + 1
    return f"{count(frames, 'frame')} of{'' if frames == 1 else ' up to'}"


def _whom(siblings: Sequence[Features]) -> str:
    return siblings[0].run.label if len(siblings) == 1 else "its siblings"
