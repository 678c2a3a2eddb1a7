"""A limiter that runs share: their medians are equal, and frames pile up there or agree past chance."""

from __future__ import annotations

import math
from collections.abc import Sequence

from evenhand.triage.features import Features
from evenhand.triage.held import Held
from evenhand.triage.limits.rates import CapLimits, nearest_rate
from evenhand.triage.plateaus import Shape, agreement, held_at, same_medians
from evenhand.triage.view import CellView
from evenhand.triage.wording import count, share


def shared(own: Shape, siblings: Sequence[Shape], view: CellView) -> Held | None:
    """Route 4: all runs have one median, and something shows that it is no quiet scene's own.

    At a usual refresh rate, and of four runs anywhere, that is frames which pile up as at a limiter; of four
    runs also medians that agree closer than free runs would. Else it is told where the runs are those of two
    setups, and not held: two that differ in nothing that matters to the test have one median too.
    """
    limits, shapes = view.limits.cap, [own, *siblings]
    runs = [s.run for s in shapes]
    if len(runs) < 2 or not same_medians(runs, limits):
        return None
    alike = [p for peer in view.peers if _alike(runs, peer, limits) for p in peer]
    enough = len(runs) + len(alike) >= limits.same_runs
    if not (enough or nearest_rate(1000 / own.run.median_ms, limits.listed_within)):
        return None
    standing = min(held_at(run, math.log(own.run.median_ms), limits)[0] for run in runs)
    piled = all(_piles_up(s, limits) for s in shapes)
    agreed = enough and agreement([*runs, *alike], limits) >= math.log(limits.same_odds)
    sure = standing >= limits.same_share and (piled or agreed)
    if not sure and not alike:
        return None
    return Held(
        line=math.log(own.run.median_ms),
        shown=_shown(runs, alike),
        share=standing,
        route=4,
        sure=sure,
    )


def _piles_up(own: Shape, limits: CapLimits) -> bool:
    """Whether frames pile up at the median as they do at a limiter, whatever lies past it."""
    near = abs(own.pile.centre - math.log(own.run.median_ms)) <= limits.line_near
    return near and own.pile.share >= limits.pile_share and own.pile.contrast >= limits.pile_contrast


def _alike(runs: Sequence[Features], peer: Sequence[Features], limits: CapLimits) -> bool:
    return len(peer) > 1 and all(p.frames > 1 for p in peer) and same_medians([*runs, *peer], limits)


def _shown(runs: Sequence[Features], alike: Sequence[Features]) -> str:
    spread = max(r.median_ms for r in runs) / min(r.median_ms for r in runs) - 1
    shown = f"the medians of {count(len(runs), 'run')} lie within {share(spread, 3)} of each other"
    return shown + (f", and those of {count(len(alike), 'run')} of another setup with them" if alike else "")
