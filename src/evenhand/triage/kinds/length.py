"""Takes that are shorter or longer than their siblings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import combinations

from evenhand.records.faults import Fault, Severity
from evenhand.triage.features import Features
from evenhand.triage.limits.mechanical import LengthLimits
from evenhand.triage.view import CellView
from evenhand.triage.wording import compared, count, lasting, listing, span

KIND = "length"
_HELD_RATES = {"rate-cap", "lock-missed", "screen-steps"}


def length(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Compare each take with the nearest length among its siblings; off where length is itself a result.

    Of two takes nobody can say which is the odd one: both get a note. A held rate that stretches as many
    frames as the siblings have over another time explains itself. So does a take that was cut otherwise.
    """
    if view.company.test.free_length:
        return
    limits = view.limits.length
    for run in view.runs:
        if not _measured(run) or view.blocked(run.id):
            continue
        siblings = [s for s in view.siblings(run.id) if _measured(s)]
        if _stands_apart(run, siblings, limits) and not _explained(run, siblings, view):
            kept = agreeing(siblings, limits)
            yield run.id, _fault(run, siblings, kept, as_many=_as_many(run, kept, limits))


def _measured(run: Features) -> bool:
    return run.frames > 1 and run.duration_s > 0 and not run.run.cut_alone


def _stands_apart(run: Features, siblings: Sequence[Features], limits: LengthLimits) -> bool:
    # A smaller gap is never told: most runs need no look at how the siblings scatter.
    least = min(limits.short_share, limits.long_share)
    if all(abs(_gap(run, s)) <= least for s in siblings):
        return False
    kept = agreeing(siblings, limits)
    judges = (
        kept if 2 * len(kept) > len(siblings) + 1 else siblings
    )  # only a majority may overrule the nearest
    gap = _nearest_gap(run, judges)
    return abs(gap) > least and abs(gap) > allowed(gap, siblings, limits)


def _gap(run: Features, other: Features) -> float:
    """Log ratio of two lengths."""
    return math.log(run.duration_s / other.duration_s)


def _nearest_gap(run: Features, siblings: Sequence[Features]) -> float:
    """Log ratio of this take's length to the nearest of its siblings'."""
    return min((_gap(run, s) for s in siblings), key=abs)


def agreeing(siblings: Sequence[Features], limits: LengthLimits) -> list[Features]:
    """The siblings without those that were plainly stopped or ran on: far from the most that lie together.

    All of them where no more than half lie together, so that two aborted takes cannot vouch for each other.
    """
    if len(siblings) < 3:
        return list(siblings)
    by_length = sorted(siblings, key=lambda s: s.duration_s)
    most = len(siblings) // 2 + 1
    windows = [by_length[i : i + most] for i in range(len(siblings) - most + 1)]
    core = min(windows, key=lambda w: _gap(w[-1], w[0]))
    if _gap(core[-1], core[0]) > limits.aborted_share:
        return list(siblings)
    return [s for s in siblings if abs(_nearest_gap(s, core)) <= limits.aborted_share]


def _explained(run: Features, siblings: Sequence[Features], view: CellView) -> bool:
    """Whether a log of so many frames is as long as the rate it was held at makes it."""
    return _as_many(run, siblings, view.limits.length) and bool(view.holding(run.id) & _HELD_RATES)


def _as_many(run: Features, siblings: Sequence[Features], limits: LengthLimits) -> bool:
    """Whether a take holds as many frames as each of these: one that was stopped or ran on does not."""
    return all(abs(math.log(run.frames / s.frames)) <= limits.same_frames for s in siblings)


def allowed(gap: float, siblings: Sequence[Features], limits: LengthLimits) -> float:
    """How far apart lengths may lie, given how far the siblings that agree lie from each other."""
    pairs = [math.log(a.duration_s / b.duration_s) for a, b in combinations(agreeing(siblings, limits), 2)]
    square_sum = sum(d * d / 2 for d in pairs)
    prior = limits.prior_pairs * limits.prior_spread**2
    spread = math.sqrt((prior + square_sum) / (limits.prior_pairs + len(pairs)))
    if any(abs(d) > limits.scattered_above for d in pairs):
        spread = max(spread, limits.scattered_factor * math.sqrt(square_sum / len(pairs)))
    share = limits.short_share if gap < 0 else limits.long_share
    return max(share, limits.spreads * spread)


def _fault(run: Features, siblings: Sequence[Features], kept: Sequence[Features], *, as_many: bool) -> Fault:
    gap = _nearest_gap(run, kept)
    word = "shorter" if gap < 0 else "longer"
    several = len(siblings) > 1
    lengths = [s.duration_s for s in kept]
    apart = [f"{s.run.label} ({lasting(s.duration_s)})" for s in siblings if s not in kept]
    others = (
        ("its siblings last " if len(kept) > 1 else f"{kept[0].run.label} lasts ") + _lengths(lengths)
        if several
        else f"{kept[0].run.label} lasts {lasting(lengths[0])}; of two nobody can say which is odd"
    )
    besides = f" Left out, as odd themselves: {listing(apart)}." if apart else ""
    lasts = f"{lasting(run.duration_s)} ({compared(math.exp(gap))})"
    counted = _counted(run, kept, longer=gap > 0) if as_many else ""
    return Fault(
        kind=KIND,
        title=f"{word.capitalize()} {'for as many frames' if as_many else 'than its siblings'}",
        severity=Severity.IN_DOUBT if several else Severity.NOTE,
        evidence=f"This take lasts {lasts}; {others}.{counted}{besides}",
        todo=(
            _todo(longer=gap > 0, as_many=as_many)
            if several
            else f"Record a third run to tell whether {run.run.label} or {siblings[0].run.label} is odd."
        ),
        numbers={
            "length_s": run.duration_s,
            "nearest_sibling_ratio": math.exp(gap),
            "siblings_shortest_s": min(lengths),
            "siblings_longest_s": max(lengths),
        },
        siblings=tuple(s.id for s in kept),
    )


def _counted(run: Features, kept: Sequence[Features], *, longer: bool) -> str:
    """What as many frames over another time say: that nobody stopped the log early or let it run on."""
    counts = sorted({s.frames for s in kept})
    theirs = f", as {'they do' if len(kept) > 1 else 'that does'}"
    if counts != [run.frames]:
        theirs = f", {'they' if len(kept) > 1 else 'that'} {' to '.join(f'{n:,}' for n in _ends(counts))}"
    how = "did not run on: its frames took longer" if longer else "was not stopped: its frames took less time"
    return f" It holds {count(run.frames, 'frame')}{theirs}, so it {how}."


def _ends(counts: Sequence[int]) -> list[int]:
    return sorted({counts[0], counts[-1]})


def _todo(*, longer: bool, as_many: bool) -> str:
    if not as_many:
        return "See whether the take was stopped early or ran on into something else, and record it again."
    if longer:
        return (
            "See in its trace where it lost the time, and what slowed it there: loading, another program, "
            "heat, other settings; record it again once that is off."
        )
    return (
        "See whether its settings or its scene are those of its siblings, and record it again once they are."
    )


def _lengths(seconds: Sequence[float]) -> str:
    low, high = min(seconds), max(seconds)
    return span(low, high, 1, "s") if low >= 1 else f"{lasting(low)} to {lasting(high)}"
