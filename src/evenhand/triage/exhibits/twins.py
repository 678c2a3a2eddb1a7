"""Two runs that hold one recording, frame laid over frame."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from evenhand.records.faults import Fault
from evenhand.triage.curves import Floats
from evenhand.triage.exhibits.company import judged_against, traces
from evenhand.triage.exhibits.forms import Differences, Exhibit, Traces
from evenhand.triage.features import Features
from evenhand.triage.pairs import pair
from evenhand.triage.view import CellView
from evenhand.triage.wholes import whole_of, wholes

_OTHERS = 3
_LONGER = 3.0  # a run so many times as long would press the copy into a stroke
_AROUND = 0.5  # of the copy's length: what is shown of the other run before it and after it


def twin(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The run over the one it copies, from the frame on where they meet, and frame by frame against it.

    Beside that, what its frames differ by from those of other takes of the scene. All of it as logged.
    """
    run, view = whole_of(run, view), wholes(view)
    origin = judged_against(run, fault, view)[:1]
    if not origin or not run.frames or not origin[0].frames:
        return Exhibit(trace=traces(run, origin))
    other = origin[0]
    lag = nearest_lag(run, other, round(fault.numbers.get("lag_frames", 0)))
    begin = float(other.begins_s[lag]) if lag >= 0 else -float(run.begins_s[-lag])
    strangers = [r for r in view.runs if r not in (run, other) and r.frames and not view.blocked(r.id)]
    against = _apart(run, other, lag)
    return Exhibit(
        trace=_over(run, other, begin),
        below=Differences(
            times_s=run.begins_s,
            against=(against,),
            among=tuple(_apart(run, r, _usual_lag(run, r, view)) for r in strangers[:_OTHERS]),
            what="Each frame against the same frame of that run",
            grey="of other runs",
        ),
    )


def _over(run: Features, other: Features, begin_s: float) -> Traces | None:
    """The trace over that of the other, of which no more is shown than as much again on either side."""
    shown = traces(run, [other], begins_s=[-begin_s])
    if shown is None:
        return None
    shown = replace(shown, grey="that run, hidden where both are one")
    if other.duration_s <= _LONGER * run.duration_s:
        return shown
    first, last = np.searchsorted(
        other.begins_s, [begin_s - _AROUND * run.duration_s, begin_s + (1 + _AROUND) * run.duration_s]
    )
    piece = other.frame_times_ms[first:last]
    return replace(shown, siblings=(piece,), begins_s=(float(other.begins_s[first]) - begin_s,))


def nearest_lag(run: Features, other: Features, frames: int) -> int:
    """By how many frames `other` is ahead where both hold one recording: forwards or backwards.

    >>> from evenhand.traces.trace import Trace
    >>> from evenhand.triage.candidate import Candidate
    >>> from evenhand.triage.features import features
    >>> times = 10 + np.random.default_rng(1).random(300)
    >>> whole, cut = (
    ...     features(Candidate(id="r", label="r", headline=None, trace=Trace(frame_times_ms=ms)))
    ...     for ms in (times, times[40:])
    ... )
    >>> nearest_lag(cut, whole, 40), nearest_lag(whole, cut, 40)
    (40, -40)
    """
    return min((frames, -frames), key=lambda lag: _typical(_apart(run, other, lag)))


def _usual_lag(run: Features, other: Features, view: CellView) -> int:
    """By how many frames another take of the scene is ahead where both begin, as far as that is known."""
    found = pair(run, other, view)
    lag_s = 0.0 if found is None else found.lag_s
    ahead = int(np.searchsorted((run if lag_s > 0 else other).begins_s, abs(lag_s)))
    return -ahead if lag_s > 0 else ahead


def _typical(apart: Floats) -> float:
    known = np.abs(apart[np.isfinite(apart)])
    return float(np.median(known)) if known.size else np.inf


def _apart(run: Features, other: Features, lag: int) -> Floats:
    """Per cent by which each frame is longer than the other's frame `lag` further on.

    NaN beyond its ends, and at frames that follow no scene: a hitch of one run would press the rest flat.
    """
    at = np.arange(run.frames) + lag
    inside = (at >= 0) & (at < other.frames)
    inside[inside] = run.calm[inside] & other.calm[at[inside]]
    apart = np.full(run.frames, np.nan)
    apart[inside] = 100 * np.expm1(run.log_ms[inside] - other.log_ms[at[inside]])
    return apart
