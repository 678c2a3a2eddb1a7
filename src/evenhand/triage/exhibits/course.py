"""The course of a run along its scene: each sibling laid over it, and the distance to each."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from evenhand.records.faults import Fault
from evenhand.triage.curves import Floats
from evenhand.triage.exhibits.company import judged_against, of_peers, traces
from evenhand.triage.exhibits.forms import Differences, Exhibit, Numbers
from evenhand.triage.features import Features
from evenhand.triage.pairs import Pair, pair, pairs_within
from evenhand.triage.pauses import pauses_of
from evenhand.triage.scene_axes import Axis, curve_along
from evenhand.triage.stretches import on_grid
from evenhand.triage.usual_course import apart_along
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount

_QUARTER = 4


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Laid:
    """A run over each sibling (`pairs`), the siblings over each other in time of the run, and its bins."""

    run: Features
    pairs: tuple[Pair, ...]
    nulls: tuple[Pair, ...]
    bin_s: float
    count: int

    @property
    def middles_s(self) -> Floats:
        """The middle of each bin, s."""
        middles: Floats = self.bin_s * (np.arange(self.count, dtype=float) + 0.5)
        return middles

    def apart(self, pairs: Sequence[Pair]) -> list[Floats]:
        """The distance of each pair about its level, in logs, in these bins."""
        return [on_grid(p, self.bin_s, self.count) for p in pairs]

    def per_cent(self, pairs: Sequence[Pair]) -> tuple[Floats, ...]:
        """The distance of each pair with its level, per cent."""
        return tuple(_per_cent(on_grid(p, self.bin_s, self.count) + p.level) for p in pairs)

    @property
    def begins_s(self) -> tuple[float, ...]:
        """Where each sibling begins on the run's clock."""
        return tuple(p.lag_s for p in self.pairs)


def laid_over(run: Features, fault: Fault, view: CellView) -> Laid | None:
    """The run over those it was judged against; None where it can be laid over none of them."""
    siblings = judged_against(run, fault, view)
    pairs = tuple(p for s in siblings if (p := pair(run, s, view)) is not None)
    if not pairs:
        return None
    lags = {p.other.id: p.lag_s for p in pairs}
    nulls = (replace(p, at_s=p.at_s + lags.get(p.run.id, 0.0)) for p in pairs_within(siblings, view))
    bin_s = max(p.bin_s for p in pairs)
    return Laid(
        run=run, pairs=pairs, nulls=tuple(nulls), bin_s=bin_s, count=max(1, int(run.duration_s / bin_s))
    )


def slow_stretch(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The trace, and where along it siblings are quicker than they usually are; of a pause, its length."""
    if "longest_ms" in fault.numbers:
        return _standstill(run, fault, view)
    return _about(run, fault, view, _as_it_is)


def _standstill(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The trace, and the longest pause of each run; 0 where it makes none."""
    siblings = [s for s in judged_against(run, fault, view) if s.frames]
    return Exhibit(
        trace=traces(run, siblings),
        below=Numbers(
            what="Longest pause of each run",
            unit="s",
            own=fault.numbers["lost_s"],
            siblings=tuple(_longest_s(s, view) for s in siblings),
            peers=of_peers([(p[0].id, tuple(_longest_s(r, view) for r in p)) for p in view.peers if p]),
            own_words=amount(fault.numbers["lost_s"], 1, "s"),
        ),
    )


def _longest_s(run: Features, view: CellView) -> float:
    return max((pause.lost_s for pause in pauses_of(run, view)), default=0.0)


def wrong_scene(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The trace, and how its course leaves every sibling's while they keep to each other's."""
    return _about(run, fault, view, _as_it_is)


def slow_sag(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The trace, and how it falls behind each sibling from its first quarter on."""
    return _about(
        run, fault, view, _from_first_quarter, "Frame time against each sibling, first quarter as 0"
    )


def _as_it_is(apart: Floats) -> Floats:
    return apart


def _from_first_quarter(apart: Floats) -> Floats:
    known = apart[: max(1, apart.size // _QUARTER)]
    known = known[np.isfinite(known)]
    return apart - (float(known.mean()) if known.size else 0.0)


def _about(
    run: Features,
    fault: Fault,
    view: CellView,
    of: Callable[[Floats], Floats],
    what: str = "Frame time against each sibling, about its usual distance",
) -> Exhibit:
    laid = laid_over(run, fault, view)
    if laid is None:
        return Exhibit(trace=traces(run, judged_against(run, fault, view)))
    limit = fault.numbers.get("limit_ln")
    return Exhibit(
        trace=traces(run, [p.other for p in laid.pairs], begins_s=laid.begins_s),
        below=Differences(
            times_s=laid.middles_s,
            against=tuple(_per_cent(of(apart_along(p, laid.bin_s, laid.count, view))) for p in laid.pairs),
            among=tuple(_per_cent(of(a)) for a in laid.apart(laid.nulls)),
            allowed=None if limit is None else _both_ways(limit),
            what=what,
        ),
    )


def late_start(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """Each sibling shifted to where it lies over the trace, and how near that brings it."""
    laid = laid_over(run, fault, view)
    if laid is None:
        return Exhibit(trace=traces(run, judged_against(run, fault, view)))
    shown = traces(run, [p.other for p in laid.pairs], begins_s=laid.begins_s)
    return Exhibit(
        trace=None if shown is None else replace(shown, what="Time of every frame, siblings shifted"),
        below=Differences(
            times_s=laid.middles_s,
            against=tuple(_per_cent(a) for a in laid.apart(laid.pairs)),
            among=tuple(_per_cent(a) for a in _unshifted(laid, view)),
            what="Frame time against each sibling once shifted",
            grey="the same without the shift",
        ),
    )


def _unshifted(laid: Laid, view: CellView) -> list[Floats]:
    """The distance to each sibling as both were started, about its median, in logs."""
    limits, cuts = view.limits.curve, laid.bin_s * np.arange(laid.count + 1, dtype=float)
    own = curve_along(laid.run, Axis.TIME, view).over(cuts, least_calm=limits.least_calm)
    theirs = (
        curve_along(p.other, Axis.TIME, view).over(cuts, least_calm=limits.least_calm) for p in laid.pairs
    )
    return [apart - (np.nanmedian(apart) if np.isfinite(apart).any() else 0.0) for apart in
        (own - other for other in theirs)]  # fmt: skip


def _per_cent(logs: Floats) -> Floats:
    return 100 * np.expm1(logs)


def _both_ways(limit: float) -> tuple[float, float]:
    reach = 100 * math.expm1(limit)
    return -reach, reach
