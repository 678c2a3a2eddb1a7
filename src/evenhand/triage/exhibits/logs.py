"""What a broken log looks like: its trace as it is, and what the log itself says."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from evenhand.records.faults import Fault
from evenhand.traces.flaws import CUT_ARCHIVE, NO_FINAL_LINE_END, SHORT_LAST_ROW
from evenhand.traces.trace import Flaw
from evenhand.triage.clocks import ClockCheck, check_clock
from evenhand.triage.exhibits.company import judged_against, siblings_of, traces
from evenhand.triage.exhibits.forms import Exhibit, Numbers, Readings, Saying, Sayings, Series
from evenhand.triage.features import Features
from evenhand.triage.kinds.reading import told
from evenhand.triage.kinds.slipped_clock import slack_s
from evenhand.triage.kinds.wrong_units import meant
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, count, moment

_ENDS = {
    SHORT_LAST_ROW: "within a row",
    CUT_ARCHIVE: "within its archive",
    NO_FINAL_LINE_END: "without a line end",
}
_ROWS = 5


def wrong_units(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The trace read in the unit that was meant, over its siblings, and the medians as they are read now."""
    siblings = [s for s in judged_against(run, fault, view) if s.frames]
    unit, factor = meant(run.median_ms, view.limits.units) or ("ms", 1.0)
    shown = traces(run, ())
    if shown is not None:
        shown = replace(
            shown,
            frame_times_ms=run.frame_times_ms * factor,
            siblings=tuple(s.frame_times_ms * _factor(s, view) for s in siblings),
            what=f"Time of every frame, read as {unit}",
        )
    return Exhibit(
        trace=shown,
        below=Numbers(
            what="Median frame time as the log is read now",
            unit="ms",
            own=run.median_ms,
            siblings=tuple(s.median_ms for s in siblings),
            own_words=amount(run.median_ms, 4 if run.median_ms < 1 else 0, "ms"),
        ),
    )


def _factor(run: Features, view: CellView) -> float:
    """What makes a sibling's times milliseconds, where it is in another unit too."""
    found = meant(run.median_ms, view.limits.units)
    return found[1] if found else 1.0


def bad_frames(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The trace with the places, and what the first bad rows hold."""
    raw = run.run.trace.frame_times_ms if run.run.trace is not None else np.empty(0)
    when = [moment(place.from_s) for place in fault.places]
    rows = [
        Saying(who=f"Frame {i + 1:,}, after {at}", value=_held(float(raw[i])), odd=True)
        for i, at in zip(run.bad_rows[:_ROWS].tolist(), when, strict=False)
    ]
    return Exhibit(
        trace=traces(run, siblings_of(run, view)),
        below=Sayings(what="What the first of these rows hold", rows=tuple(rows)) if rows else None,
    )


def _held(value: float) -> str:
    return (
        "no number" if math.isnan(value) else amount(value, 3, "ms") if math.isfinite(value) else "infinite"
    )


def clocks_apart(run: Features, _fault: Fault, view: CellView) -> Exhibit:
    """How far the clock runs away from the frame times along the run; in a whole log it stays at 0."""
    own, limits = check_clock(run), view.limits.clock
    siblings = siblings_of(run, view)
    checks = [check for s in siblings if (check := check_clock(s)) is not None]
    below = None
    if own is not None:
        off_s = own.span_s - own.sum_s
        allowed_s = math.copysign(slack_s(own, limits), off_s)
        below = Readings(
            what="By how much the clock beside the frames has run ahead of them",
            unit="s",
            own=_off(own),
            siblings=tuple(map(_off, checks)),
            limit=allowed_s,
            limit_words=f"allowed {amount(allowed_s, 3, 's')}",
        )
    return Exhibit(trace=traces(run, siblings), below=below)


def _off(check: ClockCheck) -> Series:
    return Series(times_s=check.at_s, values=check.off_s)


def truncated(run: Features, _fault: Fault, view: CellView) -> Exhibit:
    """How the log of each run ends, and the trace."""
    siblings = siblings_of(run, view)
    rows = [_end(other, odd=other is run) for other in (run, *siblings)]
    return Exhibit(
        trace=traces(run, siblings), below=Sayings(what="How the log of each run ends", rows=tuple(rows))
    )


def _end(run: Features, *, odd: bool) -> Saying:
    flaw = next((f for kind in _ENDS for f in run.flaws if f.kind == kind), None)
    if flaw is None:
        return Saying(who=run.run.label, value="with a whole row", odd=odd)
    line = "" if flaw.line is None else f", line {flaw.line:,}"
    return Saying(who=run.run.label, value=f"{_ENDS[flaw.kind]}{line}", odd=odd)


def damaged(run: Features, _fault: Fault, view: CellView) -> Exhibit:
    """What was found in the log of the run and in those of its siblings, and the trace."""
    siblings = siblings_of(run, view)
    rows = [*_found(run, odd=True), *(row for s in siblings for row in _found(s, odd=False))]
    return Exhibit(
        trace=traces(run, siblings),
        below=Sayings(what="What was found in the log of each run", rows=tuple(rows)),
    )


def _found(run: Features, *, odd: bool) -> Iterator[Saying]:
    flaws = told(run)
    for flaw in flaws:
        yield Saying(who=run.run.label, value=f"{flaw.kind}: {_where(flaw)}", odd=odd)
    if not flaws:
        yield Saying(who=run.run.label, value="nothing", odd=odd)


def _where(flaw: Flaw) -> str:
    """How many lines and the first, short enough for a card; the evidence of the fault names more."""
    if flaw.line is None or flaw.count < 2:
        return flaw.detail
    return f"{count(flaw.count, 'line')}, first {flaw.line:,}"
