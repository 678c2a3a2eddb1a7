"""Frame times that no frame can have: what a counter that overflowed, or an unset clock, leaves in a log."""

from __future__ import annotations

import numpy as np

from evenhand.traces.flaws import PAST_BELIEF, FlawNotes
from evenhand.traces.tables import Bools, Floats, RowPlaces

MOST_MS = 600_000.0
"""Ten minutes: what hangs that long is ended, and sums with longer ones ask for memory that is not there."""
MOST_MEDIANS = 1e4
"""And so many usual frames: a log in nanoseconds that is read as milliseconds has hours all along."""
LEAST_MS = 1e-3
"""A microsecond: a call that shows a frame takes longer; what reads less was subtracted, not shown."""
LEAST_MEDIANS = 1e-3
"""And so small a part of the usual one: a log in seconds read as milliseconds is short all along."""


def past_belief(times_ms: Floats) -> Bools:
    """Which frame times, shape (n,), no frame can have: far too long, or too short above zero.

    >>> past_belief(np.array([10.0, 4_294_967_295.0, 11.0, np.inf])).tolist()
    [False, True, False, False]
    """
    finite = np.isfinite(times_ms)
    long = finite & (times_ms > MOST_MS)
    short = (times_ms > 0) & (times_ms < LEAST_MS)
    if not (long.any() or short.any()):
        return long
    known = np.sort(times_ms[finite])
    usual_ms = known[(known.size - 1) // 2]  # of two the lower one, that one of them cannot vouch for itself
    odd = (long & (times_ms > MOST_MEDIANS * usual_ms)) | (short & (times_ms < LEAST_MEDIANS * usual_ms))
    return np.asarray(odd)


def without_them(times_ms: Floats, shift: int, places: RowPlaces, notes: FlawNotes) -> Floats:
    """The frame times with NaN for those past belief, each told; value k stands in row k + `shift`."""
    odd = past_belief(times_ms)
    if not odd.any():
        return times_ms
    low, high = times_ms[odd].min(), times_ms[odd].max()
    remark = f"{high:.6g} ms at most" if low > LEAST_MS else f"{low:.6g} ms at least, {high:.6g} ms at most"
    notes.note_all(PAST_BELIEF, places.lines(np.flatnonzero(odd) + shift), remark=remark)
    return np.where(odd, np.nan, times_ms)
