"""Indexes while measuring goes on, judged where all their open tests have reached a look."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from evenhand.findings.compare import Judged
from evenhand.findings.finding import Cell, Finding, Outcome, Settle
from evenhand.findings.indexes import Entry, used_in
from evenhand.findings.live_finding import LiveFinding, LiveIndex
from evenhand.findings.looking import LookedAt, Seen, Stops, first_runs, judged_rows, place_of
from evenhand.findings.outcomes import decide, ends, from_log
from evenhand.findings.rows import Row
from evenhand.findings.sums import sum_tests


def live_indexes(
    cells: Sequence[Cell], findings: Sequence[LiveFinding], stops: Stops, of: LookedAt
) -> Iterator[LiveIndex]:
    """Of each pair: the index over all tests (""), then over each group of several but not all of them."""
    judged: dict[int | None, Seen] = {}

    def seen(look: int | None) -> Seen:
        if look not in judged:
            judged[look] = judged_rows(first_runs(cells, stops, most=look), of.study)
        return judged[look]

    for a, b in dict.fromkeys((f.a, f.b) for f in findings):
        own = [f for f in findings if (f.a, f.b) == (a, b)]
        sizes = Counter(f.group for f in own)
        for group in ("", *(g for g, size in sizes.items() if g and 1 < size < len(own))):
            found = _index(group, [f for f in own if group in ("", f.group)], seen, of)
            if found is not None:
                yield found


def _index(
    group: str, members: Sequence[LiveFinding], seen: Callable[[int | None], Seen], of: LookedAt
) -> LiveIndex | None:
    """The index of one pair over these tests, judged at the last look that all its open tests reached."""
    still = [f for f in members if not f.settled]
    n = min((f.n for f in still), default=max(f.n for f in members))
    look = of.looks.passed(n)
    outcome, summed = (Outcome.UNSETTLED, None) if look is None else _summed(seen(look), members, of)
    if outcome is Outcome.UNSETTLED:
        _, summed = _summed(seen(None), members, of)
    if summed is None:
        return None
    d, (low, high) = summed.d, ends(summed.d, summed.half_shown)
    return LiveIndex(
        group=group, a=members[0].a, b=members[0].b, outcome=outcome,
        tests=tuple(f.test for f in members), used=summed.used,
        n=n, look=look, next_look=of.looks.after(n) if still else None, ratio=from_log(d),
        low=low, high=high,
        level=1.0 - of.looks.ahead, allowance=summed.allowance,
        settle=_settle(summed, n, still, of) if still and outcome is Outcome.UNSETTLED else None,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Sum:
    """An index in logs with its tests: half the interval that is shown, half the one held to the margin."""

    d: float
    half_shown: float | None
    half_held: float | None
    allowance: float
    used: tuple[str, ...]


def _summed(seen: Seen, members: Sequence[LiveFinding], of: LookedAt) -> tuple[Outcome, _Sum | None]:
    """Outcome at the level of the looks, and the index; None under two tests."""
    places = {(f.test, f.a, f.b) for f in members}
    used = used_in([_entry(row, judged) for row, judged in seen if place_of(row) in places], of.study)
    if len(used) < 2:
        return Outcome.UNSETTLED, None
    held = sum_tests(used, held_at=of.held_at).evidence
    shown = sum_tests(used, held_at=1.0 - of.looks.ahead).evidence
    outcome = decide(held, margin=of.margin, alpha=of.looks.ahead)
    return outcome, _Sum(
        d=held.effect,
        half_shown=shown.half_90,
        half_held=held.half_90,
        allowance=held.allowance,
        used=tuple(each.test for each in used),
    )


def _settle(summed: _Sum, n: int, still: Sequence[LiveFinding], of: LookedAt) -> Settle | None:
    """The first look at which the index would be settled by itself, its error shrinking as √(n/look)."""
    if summed.half_shown is None or summed.half_held is None:
        return None
    d = abs(summed.d)
    for look in (at for at in of.looks.at if at > n):
        shrunk = math.sqrt(n / look)
        level = d + shrunk * summed.half_held + summed.allowance < of.margin
        if level or d - summed.allowance > shrunk * summed.half_shown:
            each = [of.minutes.get(f.test) for f in still]
            known = [2 * (look - f.n) * m for f, m in zip(still, each, strict=True) if m is not None]
            return Settle(more_runs=look - n, minutes=sum(known) if len(known) == len(still) else None)
    return Settle(more_runs=None)


def _entry(row: Row, judged: Judged | None) -> Entry:
    bare = Finding(
        test=row.a.test, metric=row.a.metric, a=row.a.setup, b=row.b.setup, outcome=Outcome.UNSETTLED,
        ratio=None, low=None, high=None, level=0.0, n_a=len(row.a.observations), n_b=len(row.b.observations),
        method="", group=row.a.group,
    )  # fmt: skip
    return Entry(finding=bare, row=row, difference=judged.difference if judged else None)
