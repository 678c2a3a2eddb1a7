"""A run with many more hitches than its siblings: as the first pass of a scene has, or with company."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.stats.clustered_counts import at_least, excess_dispersion, pooled_dispersion
from evenhand.triage.features import Features
from evenhand.triage.hitch_moments import Hitches, extra_moments, hitches_of, shared_places
from evenhand.triage.limits.levels import HitchLimits
from evenhand.triage.view import CellView
from evenhand.triage.wording import chance, count

KIND = "extra-hitches"
_EXPLAINED = ("wrong-units", "not-frames", "twin", "bad-frame-times", "memory-full")
_MINUTE_S = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Excess:
    """How many hitches a run has, how many its siblings led to expect, and how likely so many are by chance.

    `shared` of them the scene gives to every take; they are in `count` and in `expected`.
    """

    count: int
    expected: float
    shared: float
    dispersion: float
    p: float


def extra_hitches(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Hold the number of hitches of each run against its siblings': the tail of a negative binomial.

    Hitches that every take has at the same place belong to the scene. The first run of a boot is held
    against runs that were not first, where there are two. What a full memory does is told by that alone. Of
    two runs nobody can say which is odd: both get a note.
    """
    for run in view.runs:
        if not run.frames or view.has(run.id, *_EXPLAINED) or view.blocked(run.id):
            continue
        siblings = _later_runs(run, [s for s in view.siblings(run.id) if s.frames], view)
        excess = measure(run, siblings, view) if siblings else None
        if excess is not None and fires(excess, siblings, view):
            yield run.id, _fault(run, siblings, excess, view)
            if len(siblings) == 1:
                yield siblings[0].id, _fewer(siblings[0], run, excess, view)


def _later_runs(run: Features, siblings: list[Features], view: CellView) -> list[Features]:
    """For the first run of a boot: the siblings that were no boot's first; else all of them."""
    later = [s for s in siblings if not first_of_boot(s, view)]
    return later if first_of_boot(run, view) and len(later) > 1 else siblings


def first_of_boot(run: Features, view: CellView) -> bool:
    """Whether boots and order on record make this the first of several runs of the test in its boot."""
    own = run.run
    if own.boot is None or own.order is None:
        return False
    orders = [r.run.order for r in view.runs if r.run.boot == own.boot and r.run.order is not None]
    return len(orders) > 1 and own.order == min(orders)


def measure(run: Features, siblings: Sequence[Features], view: CellView) -> Excess | None:
    """The run's hitches against what its siblings, and earlier studies, lead to expect.

    The mean is the siblings' rate over the time watched; its variance is Poisson, plus the dispersion between
    runs, plus the error of that rate: V = μ(1 + T/E) + φμ²(1 + 1/m). None where nothing was watched.
    """
    limits, own = view.limits.hitches, hitches_of(run, view)
    others = [hitches_of(s, view) for s in siblings]
    watched = sum(h.watched_s for h in others)
    if not watched > 0 or not own.watched_s > 0:
        return None
    shared = shared_places(run, siblings, view) if _worth_a_look(own.count, others, limits) else 0.0
    seen = max(sum(h.count for h in others) - shared * len(others), 0.0)
    known, known_s = _learned(view, watched / len(others), limits)
    mean = own.watched_s * (seen + known + limits.prior_count) / (watched + known_s)
    phi = _dispersion(siblings, view)
    variance = mean * (1 + own.watched_s / (watched + known_s)) + phi * mean**2 * (1 + 1 / len(others))
    free = max(round(own.count - shared), 0)
    return Excess(
        count=own.count,
        expected=mean + shared,
        shared=shared,
        dispersion=phi,
        p=at_least(free, mean, variance),
    )


def _worth_a_look(own: int, others: Sequence[Hitches], limits: HitchLimits) -> bool:
    """Whether there are enough hitches for some to be the scene's, and more than the calmest sibling has."""
    few_enough = len(others) < limits.most_paired
    return few_enough and own >= limits.least_excess and own > min(h.count for h in others)


def _learned(view: CellView, run_s: float, limits: HitchLimits) -> tuple[float, float]:
    """Hitches and seconds that earlier studies add, held to a part of one run."""
    known = view.company.learned.hitches
    known_s = min(known.weight * _MINUTE_S, limits.learned_share * run_s)
    return known.value * known_s / _MINUTE_S, known_s


def _dispersion(siblings: Sequence[Features], view: CellView) -> float:
    """How hitch counts of good runs scatter beyond Poisson: belief, earlier studies, siblings and peers."""
    limits, learned = view.limits.hitches, view.company.learned.hitch_excess
    told = [
        (limits.dispersion, limits.dispersion_runs),
        (learned.value, min(learned.weight, limits.most_learned_runs)),
    ]
    for cell in (siblings, *view.peers):
        watched = [h for h in (hitches_of(run, view) for run in cell) if h.watched_s > 0]
        counts = np.array([h.count for h in watched], float)
        told.append(excess_dispersion(counts, np.array([h.watched_s for h in watched])))
    return pooled_dispersion(told, least=limits.least_dispersion)


def fires(excess: Excess, siblings: Sequence[Features], view: CellView) -> bool:
    """Whether so many hitches are beyond chance, beyond every sibling, and worth a word."""
    limits = view.limits.hitches
    p = limits.p_few if len(siblings) + 1 <= limits.few_runs else limits.p_many
    free, expected = excess.count - excess.shared, excess.expected - excess.shared
    most = max(hitches_of(s, view).count for s in siblings)
    return (
        excess.p < p
        and excess.count - excess.expected >= limits.least_excess
        and free >= limits.least_ratio * expected
        and excess.count > most
    )


def _fault(run: Features, siblings: Sequence[Features], excess: Excess, view: CellView) -> Fault:
    alone, first = len(siblings) == 1, first_of_boot(run, view)
    own = hitches_of(run, view)
    extra = extra_moments(run, siblings, view)
    return Fault(
        kind=KIND,
        title="More hitches than its siblings",
        severity=Severity.NOTE if alone else Severity.IN_DOUBT,
        evidence=_sentence(excess, [hitches_of(s, view) for s in siblings])
        + _reserve(run, siblings, first=first),
        todo=_todo(run, siblings, first=first),
        numbers={
            "hitches": float(excess.count),
            "siblings_fewest": float(min(hitches_of(s, view).count for s in siblings)),
            "siblings_most": float(max(hitches_of(s, view).count for s in siblings)),
            "expected_hitches": excess.expected,
            "shared_hitches": excess.shared,
            "dispersion": excess.dispersion,
            "watched_s": own.watched_s,
            "p": excess.p,
        },
        places=tuple(
            Place(from_s=float(at), to_s=float(at + lasts))
            for at, lasts in zip(own.at_s[extra], own.lasts_s[extra], strict=True)
        ),
        siblings=tuple(s.id for s in siblings),
    )


def _fewer(run: Features, other: Features, excess: Excess, view: CellView) -> Fault:
    """The note of the calmer of two runs."""
    own = hitches_of(run, view)
    return Fault(
        kind=KIND,
        title="Fewer hitches than the other run",
        severity=Severity.NOTE,
        evidence=(
            f"{count(own.count, 'hitch', 'hitches')}, where {other.run.label} has {excess.count:,}. "
            "Of two runs nobody can say which is the odd one."
        ),
        todo=_todo(run, [other], first=False),
        numbers={
            "hitches": float(own.count),
            "other_hitches": float(excess.count),
            "watched_s": own.watched_s,
        },
        siblings=(other.id,),
    )


def _sentence(excess: Excess, others: Sequence[Hitches]) -> str:
    counts = [h.count for h in others]
    low, high = min(counts), max(counts)
    theirs = f"{low:,}" if low == high else f"{low:,} to {high:,}"
    beside = "its siblings have" if len(counts) > 1 else "the other run has"
    shared = round(excess.shared)
    scene = (
        f" {count(shared, 'of them is', 'of them are')} at places where every take hitches." if shared else ""
    )
    return (
        f"{count(excess.count, 'hitch', 'hitches')}, where {beside} {theirs} and {excess.expected:.1f} were "
        f"to be expected ({chance(excess.p)}).{scene}"
    )


def _reserve(run: Features, siblings: Sequence[Features], *, first: bool) -> str:
    if len(siblings) == 1:
        return " Of two runs nobody can say which is the odd one."
    return f" It is the first run of this test after its boot ({run.run.boot})." if first else ""


def _todo(run: Features, siblings: Sequence[Features], *, first: bool) -> str:
    if len(siblings) == 1:
        return f"Record a third run to tell whether {run.run.label} or {siblings[0].run.label} is odd."
    if first:
        return "Set it aside as a first pass, and plan a discarded first run of this test after each boot."
    return (
        "See what else ran at the marked moments, and whether it was the first run after an install or an "
        "update; record it again."
    )
