"""A limiter that runs share: their medians are equal, closer than free runs repeat theirs."""

from __future__ import annotations

import math
from collections.abc import Sequence

from evenhand.triage.features import Features
from evenhand.triage.held import Held
from evenhand.triage.limits.rates import nearest_rate
from evenhand.triage.plateaus import Shape, held_at, same_medians
from evenhand.triage.view import CellView
from evenhand.triage.wording import count, share


def shared(own: Shape, siblings: Sequence[Shape], view: CellView) -> Held | None:
    """Route 4: all runs have one median, closer than free runs repeat theirs.

    They must stand at it, or at least be those of two setups: then it is told, and not held, because two
    setups that differ in nothing that matters to the test have one median too.
    """
    limits, centre = view.limits.cap, math.log(own.run.median_ms)
    runs = [own.run, *(s.run for s in siblings)]
    if len(runs) < 2 or not same_medians(runs, limits):
        return None
    alike = sum(len(peer) for peer in view.peers if _alike(runs, peer, view))
    listed = nearest_rate(1000 / own.run.median_ms, limits.listed_within) is not None
    standing = min(held_at(run, centre, limits)[0] for run in runs)
    enough = len(runs) + alike >= limits.same_runs
    if not (enough or listed) or (standing < limits.same_share and not alike):
        return None
    spread = max(r.median_ms for r in runs) / min(r.median_ms for r in runs) - 1
    shown = f"the medians of {count(len(runs), 'run')} lie within {share(spread, 3)} of each other"
    also = f", and those of {count(alike, 'run')} of another setup with them" if alike else ""
    return Held(
        line=centre,
        shown=shown + also,
        share=standing,
        route=4,
        sure=standing >= limits.same_share,
    )


def _alike(runs: Sequence[Features], peer: Sequence[Features], view: CellView) -> bool:
    return len(peer) > 1 and all(p.frames > 1 for p in peer) and same_medians([*runs, *peer], view.limits.cap)
