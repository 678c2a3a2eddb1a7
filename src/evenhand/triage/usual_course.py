"""What the frames of a run would take at each moment if it went on as a sibling does, and what they took."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.triage.curves import Floats, curve
from evenhand.triage.features import Features
from evenhand.triage.pairs import Pair, line_of
from evenhand.triage.scene_axes import Axis
from evenhand.triage.stretches import departure, on_grid
from evenhand.triage.view import CellView


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What the frames of one piece of a run took beyond what is usual beside it.

    `slower` is the log of what they took over what is usual, `lost_s` the difference. Usual is the median of
    what the siblings make of them.
    """

    from_s: float
    to_s: float
    slower: float
    lost_s: float


def usual_at(laid: Pair, times_s: Floats, view: CellView) -> Floats:
    """Log frame time that a run would have at these times if it went on as a sibling does, its level apart.

    Where the two could not be laid over each other, as in a stretch that long frames fill, the places of the
    sibling are read off those before and after.
    """
    bins = line_of(laid.other, Axis.TIME, laid.bin_s, view).bins
    known = np.flatnonzero(np.isfinite(bins))
    if not known.size:
        return np.full(times_s.shape, laid.level + math.log(laid.other.median_ms))
    there = np.interp(times_s, laid.at_s, laid.other_at_s)
    usual = np.interp(there, laid.bin_s * (known + 0.5), bins[known]) + laid.level
    return np.asarray(usual)


def apart_along(laid: Pair, bin_s: float, count: int, view: CellView) -> Floats:
    """Distance of a pair about its level in bins of the run's own time, to look at; shape (count,), ln.

    Bins that long frames fill, unknown to the course, hold what all their frames took beyond the usual.
    """
    told = on_grid(laid, bin_s, count)
    cuts = bin_s * np.arange(count + 1, dtype=float)
    run = laid.run
    everything = curve(run.log_ms, run.frame_times_ms / 1000, np.ones(run.frames, bool))
    taken = everything.over(cuts, least_calm=0.0)
    lost = np.isnan(told) & np.isfinite(taken)
    told[lost] = taken[lost] - usual_at(laid, cuts[:-1][lost] + bin_s / 2, view)
    return told


def taken_beyond(
    pairs: Sequence[Pair], from_s: float, to_s: float, worst: float, view: CellView
) -> Taken | None:
    """What a stretch of a run took beyond what is usual beside it, its ends sharpened to a frame.

    `from_s` and `to_s` are known to a bin of its course, `worst` is how slow it is at its worst, ln. None
    without a slow frame. A single long frame among calm ones is a hitch, and none of the stretch.
    """
    run, reach_s = pairs[0].run, max(p.bin_s for p in pairs)
    near = np.flatnonzero(
        (run.edges_s[1:] > from_s - reach_s) & (run.begins_s < to_s + reach_s) & ~_hitches(run)
    )
    if near.size < 2:
        return None
    usual = np.array([usual_at(p, run.begins_s[near], view) for p in pairs])
    apart = (run.log_ms[near] - np.median(usual, axis=0)).clip(0.0, worst)
    middle = int(np.searchsorted(run.begins_s[near], (from_s + to_s) / 2))  # by time: slow frames are few
    start, end = departure(apart, (middle, middle), worst / 2)
    if end <= start:
        return None
    own, expected = near[start:end], float(np.median(np.exp(usual[:, start:end]).sum(axis=1)))
    took = float(run.frame_times_ms[own].sum())
    return Taken(
        from_s=float(run.begins_s[own[0]]),
        to_s=float(run.edges_s[own[-1] + 1]),
        slower=math.log(took / expected),
        lost_s=max(0.0, (took - expected) / 1000),
    )


def _hitches(run: Features) -> np.ndarray[tuple[int, ...], np.dtype[np.bool_]]:
    """Long frames with calm ones on both sides."""
    beside = np.concatenate(([True], run.calm, [True]))
    return np.asarray(~run.calm & beside[:-2] & beside[2:])
