"""Whether a run stands apart in its level only because of what its course is held for."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from evenhand.records.faults import Fault, Severity
from evenhand.triage.curves import Flags
from evenhand.triage.features import Features
from evenhand.triage.pairs import Pair, agreed, pair
from evenhand.triage.view import CellView

_COURSE = ("slow-sag", "slow-stretch", "late-start")
_QUARTERS = 4


def course_explains(run: Features, siblings: Sequence[Features], gap: float, view: CellView) -> bool:
    """Whether outside of what its course is held for the run is on the level of its siblings.

    `gap` is how far its level stands apart, in logs. On the level is what no sibling puts off by as much as
    a level must stand apart to be told, or by half of that gap. A sag is weighed by its first quarter.
    """
    limits = view.limits.level
    held = [f for f in view.found[run.id] if f.kind in _COURSE and f.severity is not Severity.NOTE]
    pairs = [p for s in siblings if (p := pair(run, s, view)) is not None]
    if not held or not pairs:
        return False
    outside = [_gap_outside(p, held) for p in pairs]
    known = [g for g in outside if g is not None]
    most = max(limits.least_gap, limits.elsewhere_share * abs(gap))
    return bool(known) and abs(agreed(known)) < most


def _gap_outside(laid: Pair, held: Sequence[Fault]) -> float | None:
    """The median distance to a sibling where no finding lies, in logs; None where nothing is left."""
    use: Flags = np.ones(laid.at_s.size, bool)
    for fault in held:
        if fault.kind == "slow-sag":
            use &= np.arange(use.size) < max(1, use.size // _QUARTERS)
            continue
        for place in fault.places:
            use &= (laid.at_s + laid.bin_s <= place.from_s) | (laid.at_s >= place.to_s)
    return float(np.median(laid.apart[use])) if use.any() else None
