"""Takes that are shorter or longer than their siblings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from evenhand.records.faults import Fault, Severity
from evenhand.triage.features import Features
from evenhand.triage.limits.mechanical import LengthLimits
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, change, span

KIND = "length"


def length(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Compare each take with the nearest length among its siblings; off where length is itself a result.

    Of two takes nobody can say which is the odd one: both get a note.
    """
    if view.company.test.free_length:
        return
    for run in view.runs:
        if not _measured(run) or view.blocked(run.id):
            continue
        siblings = [s for s in view.siblings(run.id) if _measured(s)]
        gap = _nearest_gap(run, siblings) if siblings else 0.0
        # A smaller gap is never told: most runs need no look at how the siblings scatter.
        least = min(view.limits.length.short_share, view.limits.length.long_share)
        if abs(gap) > least and abs(gap) > allowed(gap, siblings, view.limits.length):
            yield run.id, _fault(run, siblings, gap)


def _measured(run: Features) -> bool:
    return run.frames > 1 and run.duration_s > 0


def _nearest_gap(run: Features, siblings: Sequence[Features]) -> float:
    """Log ratio of this take's length to the nearest of its siblings'."""
    gaps = [math.log(run.duration_s / s.duration_s) for s in siblings]
    return min(gaps, key=abs)


def allowed(gap: float, siblings: Sequence[Features], limits: LengthLimits) -> float:
    """How far apart lengths may lie, given how far the siblings lie from each other."""
    pairs = [math.log(a.duration_s / b.duration_s) for a, b in combinations(siblings, 2)]
    square_sum = sum(d * d / 2 for d in pairs)
    prior = limits.prior_pairs * limits.prior_spread**2
    spread = math.sqrt((prior + square_sum) / (limits.prior_pairs + len(pairs)))
    if any(abs(d) > limits.scattered_above for d in pairs):
        spread = max(spread, limits.scattered_factor * math.sqrt(square_sum / len(pairs)))
    share = limits.short_share if gap < 0 else limits.long_share
    return max(share, limits.spreads * spread)


def _fault(run: Features, siblings: Sequence[Features], gap: float) -> Fault:
    word = "shorter" if gap < 0 else "longer"
    several = len(siblings) > 1
    lengths = [s.duration_s for s in siblings]
    others = (
        f"its siblings last {span(min(lengths), max(lengths), 1, 's')}"
        if several
        else f"{siblings[0].run.label} lasts {amount(lengths[0], 1, 's')}; of two nobody can say which is odd"
    )
    return Fault(
        kind=KIND,
        title=f"{word.capitalize()} than its siblings",
        severity=Severity.IN_DOUBT if several else Severity.NOTE,
        evidence=f"This take lasts {amount(run.duration_s, 1, 's')} ({change(math.exp(gap))}); {others}.",
        todo=(
            "See whether the take was stopped early or ran on into something else, and record it again."
            if several
            else f"Record a third run to tell whether {run.run.label} or {siblings[0].run.label} is odd."
        ),
        numbers={
            "length_s": run.duration_s,
            "nearest_sibling_ratio": math.exp(gap),
            "siblings_shortest_s": min(lengths),
            "siblings_longest_s": max(lengths),
        },
        siblings=tuple(s.id for s in siblings),
    )
