"""What a run says of the terms it was made under: settings, room, length."""

from __future__ import annotations

import math
import statistics
from collections.abc import Iterator, Sequence

from evenhand.records.faults import Fault
from evenhand.triage.exhibits.company import judged_against, traces
from evenhand.triage.exhibits.forms import Exhibit, Numbers, Saying, Sayings
from evenhand.triage.features import Features
from evenhand.triage.kinds.length import agreeing, allowed
from evenhand.triage.kinds.stamps import Difference, unlike_the_cell, unlike_the_test
from evenhand.triage.stamp_words import plain_stamps
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, listing, span


def other_settings(run: Features, _fault: Fault, view: CellView) -> Exhibit:
    """What the test declares, what this run says, and what its siblings say."""
    return _stamps(run, unlike_the_test(run, view), view, declared=True)


def mixed_stamps(run: Features, _fault: Fault, view: CellView) -> Exhibit:
    """What this run says, and what its siblings say."""
    return _stamps(run, unlike_the_cell(run, view), view, declared=False)


def _stamps(run: Features, odd: Sequence[Difference], view: CellView, *, declared: bool) -> Exhibit:
    others = [other for other in view.runs if other is not run]
    rows: list[Saying] = []
    for difference in odd:
        after = f", {difference.name}" if len(odd) > 1 else ""
        if declared:
            rows.append(Saying(who=f"The test{after}", value=difference.expected))
        rows.append(Saying(who=f"{run.run.label}{after}", value=difference.says, odd=True))
        rows += _said(difference.name, others, after)
    names = listing([d.name for d in odd])
    what = f"{names[:1].upper()}{names[1:]} of each run"
    return Exhibit(below=Sayings(what=what, rows=tuple(rows)) if rows else None)


def _said(name: str, runs: Sequence[Features], after: str) -> Iterator[Saying]:
    for run in runs:
        yield Saying(who=f"{run.run.label}{after}", value=plain_stamps(run.run.stamps).get(name, "not said"))


def room(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The room of each run, and the range that the study or its siblings set."""
    siblings, here = judged_against(run, fault, view), run.run.ambient_c
    if here is None:
        return Exhibit()
    theirs = tuple(s.run.ambient_c for s in siblings if s.run.ambient_c is not None)
    expected, words = view.company.ambient_c, "as the study declares"
    if expected is None and theirs:
        usual, apart = statistics.median(theirs), view.limits.room.apart_c
        expected, words = (usual - apart, usual + apart), "about the median of its siblings"
    return Exhibit(
        below=Numbers(
            what="Room at each run",
            unit="°C",
            own=here,
            siblings=theirs,
            expected=expected,
            expected_words="" if expected is None else f"{span(*expected, 1, '°C')}, {words}",
            own_words=amount(here, 1, "°C"),
        )
    )


def length(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The length of each take, what would be allowed, and the trace."""
    siblings = [s for s in judged_against(run, fault, view) if s.frames > 1 and s.duration_s > 0]
    lengths = [s.duration_s for s in siblings]
    expected = None
    if siblings:
        short, long = (allowed(sign, siblings, view.limits.length) for sign in (-1.0, 1.0))
        passing = [s.duration_s for s in agreeing(siblings, view.limits.length)]
        expected = _judged((min(passing) * math.exp(-short), max(passing) * math.exp(long)), view)
    return Exhibit(
        trace=traces(run, siblings),
        below=Numbers(
            what="Length of each take",
            unit="s",
            own=run.duration_s,
            siblings=tuple(lengths),
            expected=expected,
            expected_words="" if expected is None else f"{span(*expected, 1, 's')} would pass",
            own_words=amount(run.duration_s, 1, "s"),
        ),
    )


def _judged(lengths_s: tuple[float, float], view: CellView) -> tuple[float, float] | None:
    """These lengths as far as a run of such a length is judged at all; None where none is."""
    least_s = 0.0 if view.company.test.free_length else view.limits.length.least_s
    low, high = max(lengths_s[0], least_s), lengths_s[1]
    return (low, high) if low < high else None
