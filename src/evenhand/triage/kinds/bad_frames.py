"""Frame times that cannot be: zero, negative, or no number."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.traces.flaws import PAST_BELIEF
from evenhand.triage.features import Features
from evenhand.triage.view import CellView
from evenhand.triage.wording import count, moment, share

KIND = "bad-frame-times"
_PLACES = 5


def bad_frames(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Any impossible frame time puts a run in doubt; more than one in a thousand blocks it."""
    for run in view.runs:
        if run.bad_rows.size:
            part = run.bad_rows.size / run.rows
            blocks = part > view.limits.bad_frames.blocks_above_share
            yield run.id, _fault(run, part, Severity.BLOCKS if blocks else Severity.IN_DOUBT)


def _fault(run: Features, part: float, severity: Severity) -> Fault:
    starts = _when(run)
    first = f", the first after {moment(starts[0])}" if run.frames else ""
    return Fault(
        kind=KIND,
        title="Zero, negative or missing frame times",
        severity=severity,
        evidence=(
            f"{count(run.bad_rows.size, 'row')} of {run.rows:,} ({share(part, 2)}) "
            f"{'holds' if run.bad_rows.size == 1 else 'hold'} {_what(run)}{first}."
        ),
        todo="Record the run again; look for what else was logging or stalling at that moment.",
        numbers={"bad_rows": float(run.bad_rows.size), "bad_share": part},
        places=tuple(Place(from_s=s, to_s=s) for s in starts),
    )


def _when(run: Features) -> tuple[float, ...]:
    """Seconds of usable frame time before the first few bad rows."""
    before = run.bad_rows[:_PLACES] - np.arange(min(run.bad_rows.size, _PLACES))
    ends = np.concatenate(([0.0], run.begins_s + run.frame_times_ms / 1000))
    return tuple(float(ends[i]) for i in before)


def _what(run: Features) -> str:
    """Which kinds of impossible there are, in words."""
    assert run.run.trace is not None
    bad = run.run.trace.frame_times_ms[run.bad_rows]
    long = next((flaw for flaw in run.flaws if flaw.kind == PAST_BELIEF), None)
    words = {
        f"a frame time past belief ({long.detail})" if long else "": long is not None,
        "no readable frame time": np.count_nonzero(np.isnan(bad)) > (long.count if long else 0),
        "an infinite frame time": bool(np.isinf(bad).any()),
        "a frame time of zero": bool((bad == 0).any()),
        "a negative frame time": bool((bad < 0).any()),
    }
    return " or ".join(word for word, seen in words.items() if seen)
