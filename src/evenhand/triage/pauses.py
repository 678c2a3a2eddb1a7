"""Pauses: frames, or a few frames together, in which a run stands still for a second or more."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from evenhand.triage.features import Features
from evenhand.triage.limits.course import PauseLimits
from evenhand.triage.view import CellView


@dataclass(frozen=True, slots=True, kw_only=True)
class Pause:
    """Where a run stood still: frames `first` to `last`, and what they took beyond frames around them.

    `usual_ms` is the median calm frame around the pause, `longest_ms` the longest frame in it.
    """

    first: int
    last: int
    start_s: float
    end_s: float
    lost_s: float
    usual_ms: float
    longest_ms: float


def pauses_of(run: Features, view: CellView) -> tuple[Pause, ...]:
    """The pauses of a run, in order; worked out once."""
    return view.prepared.derived(run, "pauses", 0, lambda: pauses(run, view.limits.pause))


def pauses(run: Features, limits: PauseLimits) -> tuple[Pause, ...]:
    """Long frames that follow each other closely and lose a second or more together.

    >>> from evenhand.traces.trace import Trace
    >>> from evenhand.triage.candidate import Candidate
    >>> from evenhand.triage.features import features
    >>> times = np.full(1000, 10.0)
    >>> times[400] = 3000.0
    >>> (pause,) = pauses(
    ...     features(Candidate(id="r", label="r", headline=None, trace=Trace(frame_times_ms=times))),
    ...     PauseLimits(),
    ... )
    >>> round(pause.start_s, 2), round(pause.lost_s, 2)
    (4.0, 2.99)
    """
    long = np.flatnonzero(~run.calm & (run.frame_times_ms >= limits.least_frame_ms))
    if not long.size:
        return ()
    ends_s = run.begins_s + run.frame_times_ms / 1000
    apart = run.begins_s[long[1:]] - ends_s[long[:-1]] > limits.gap_s
    groups = np.split(long, np.flatnonzero(apart) + 1)
    found = (_pause(run, group, limits) for group in groups)
    return tuple(p for p in found if p.lost_s >= limits.least_lost_s)


def _pause(run: Features, long: np.ndarray[tuple[int, ...], np.dtype[np.intp]], limits: PauseLimits) -> Pause:
    first, last = int(long[0]), int(long[-1])
    around = slice(max(0, first - limits.around_frames), last + 1 + limits.around_frames)
    calm = run.frame_times_ms[around][run.calm[around]]
    usual_ms = float(np.median(calm)) if calm.size else run.median_ms
    taken = run.frame_times_ms[long]
    return Pause(
        first=first,
        last=last,
        start_s=float(run.begins_s[first]),
        end_s=float(run.begins_s[last] + run.frame_times_ms[last] / 1000),
        lost_s=float((taken - usual_ms).clip(0).sum()) / 1000,
        usual_ms=usual_ms,
        longest_ms=float(taken.max()),
    )
