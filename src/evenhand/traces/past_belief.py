"""Frame times that no frame can have: what a counter that overflowed, or an unset clock, leaves in a log."""

from __future__ import annotations

import numpy as np

from evenhand.traces.flaws import PAST_BELIEF, FlawNotes
from evenhand.traces.tables import Bools, Floats, RowPlaces

MOST_MS = 3_600_000.0
"""An hour: no run waits that long for a frame, and sums with longer ones ask for memory that is not there."""
MOST_MEDIANS = 1e5
"""And so many usual frames: a log in nanoseconds that is read as milliseconds has hours all along."""


def past_belief(times_ms: Floats) -> Bools:
    """Which frame times, shape (n,), are longer than an hour and 100,000 times the usual one.

    >>> past_belief(np.array([10.0, 4_294_967_295.0, 11.0, np.inf])).tolist()
    [False, True, False, False]
    """
    finite = np.isfinite(times_ms)
    long = finite & (times_ms > MOST_MS)
    if not long.any():
        return long
    known = np.sort(times_ms[finite])
    usual_ms = known[(known.size - 1) // 2]  # of two the lower one, that one of them cannot vouch for itself
    return np.asarray(long & (times_ms > MOST_MEDIANS * usual_ms))


def without_them(times_ms: Floats, shift: int, places: RowPlaces, notes: FlawNotes) -> Floats:
    """The frame times with NaN for those past belief, each told; value k stands in row k + `shift`."""
    odd = past_belief(times_ms)
    if not odd.any():
        return times_ms
    remark = f"{times_ms[odd].max():.6g} ms at most"
    notes.note_all(PAST_BELIEF, places.lines(np.flatnonzero(odd) + shift), remark=remark)
    return np.where(odd, np.nan, times_ms)
