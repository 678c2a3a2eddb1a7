"""A scene that waits while a run loads: before the stretch and after it the run follows its sibling."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from evenhand.triage.lags import correlation, overlap
from evenhand.triage.pairs import Pair, line_of
from evenhand.triage.scene_axes import BY_FRAMES, Axis
from evenhand.triage.view import CellView

_STEP_S = 0.25
_BEYOND_S = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Resumption:
    """How long the scene waited, and how well both courses agree outside the stretch once it is moved on."""

    waits_s: float
    agreement: float


def resumption(laid: Pair, from_s: float, to_s: float, view: CellView) -> Resumption:
    """Lay the run over its sibling before and after a stretch, the rest moved on by what agrees best.

    A bin on either side of the stretch is left out, since it may hold a part of it.
    """
    limits = view.limits.curve
    mine, theirs = (line_of(r, Axis.TIME, laid.bin_s, view) for r in (laid.run, laid.other))
    lag_s = laid.lag_s if laid.axis not in BY_FRAMES else 0.0
    at, a, b = overlap(mine, theirs, lag_s, limits)
    before = at + 2 * laid.bin_s <= from_s
    best = Resumption(waits_s=0.0, agreement=-1.0)
    for waits_s in np.arange(0.0, to_s - from_s + _BEYOND_S, _STEP_S):
        later, c, d = overlap(mine, theirs, lag_s + float(waits_s), limits)
        after = later >= to_s + laid.bin_s
        own, others = np.concatenate((a[before], c[after])), np.concatenate((b[before], d[after]))
        if own.size >= limits.fewest_bins:
            agreement = correlation(own, others)
            if agreement > best.agreement:
                best = Resumption(waits_s=float(waits_s), agreement=agreement)
    return best
