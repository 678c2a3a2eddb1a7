"""Where a run's rate stands still: the densest stretch of its blocks and of its frames."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np

from evenhand.triage.curves import Floats
from evenhand.triage.features import MAD_TO_SD, Features, robust_spread
from evenhand.triage.limits.rates import CapLimits

_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True, kw_only=True)
class Plateau:
    """The densest window of a run's blocks; logs of frame time, shares of blocks.

    `centre`; the share `near` it (`near_blocks` of them, `near_mad` their median deviation, `compensated`
    their spread over that of independent frames), the share `quicker` than it; the share `at_side`, within
    the wider one-sided width, and those `side_quicker` and `side_slower` than that.
    """

    centre: float
    near: float
    near_blocks: int
    near_mad: float
    compensated: float
    quicker: float
    at_side: float
    side_quicker: float
    side_slower: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PileUp:
    """The densest window of a run's frames: centre, share within, share past it, density over its flank.

    `edge` is what lies on the quick side of the window over what lies in it: next to nothing where a limiter
    cuts.
    """

    centre: float
    share: float
    quicker: float
    contrast: float
    edge: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Beat:
    """How frames near the pile-up hang together: correlation with the next one, and with the one after that.

    `line` is the log of the mean frame time of the frames near it: a beat that shakes widely is dense
    nowhere, but its mean is exact. `pairs` neighbours both lie near. A limiter makes up for each frame in
    the next (about −½, then 0); a scene never does. Frames that alternate go down and up (−1, then 1).
    """

    line: float
    pairs: int
    next_one: float
    after_that: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Shape:
    """A run with its plateau (None where it has too few blocks), its pile-up and the beat of its frames.

    `tail` is how far its quickest frames reach: median less the 3 % quantile, logs of frame time.
    """

    run: Features
    flat: Plateau | None
    pile: PileUp
    beat: Beat
    tail: float


def shape(run: Features, limits: CapLimits) -> Shape:
    """Measure where a run stands still."""
    pile = pile_up(run, limits)
    quick, middle = np.quantile(run.log_ms, [limits.tail_quantile, 0.5])
    return Shape(
        run=run,
        flat=plateau(run, limits),
        pile=pile,
        beat=beat(run, pile.centre, limits),
        tail=float(middle - quick),
    )


def densest(values: Floats, width: float) -> float:
    """The middle one of the values in the fullest window of this width.

    >>> densest(np.array([0.0, 1.0, 1.1, 1.2, 5.0]), 0.5)
    1.1
    """
    ordered = np.sort(values)
    counts = np.searchsorted(ordered, ordered + width, side="right")
    counts -= np.arange(ordered.size)
    start = int(np.argmax(counts))
    return float(ordered[(2 * start + int(counts[start])) // 2])


def plateau(run: Features, limits: CapLimits) -> Plateau | None:
    """The plateau of a run's blocks; None with fewer blocks than could show one."""
    blocks = run.blocks
    if blocks.size < limits.least_blocks:
        return None
    centre = densest(blocks, limits.window)
    off = blocks - centre
    near = blocks[np.abs(off) <= limits.near]
    side = limits.side_width
    alone = within(run.noise / math.sqrt(run.block_s * 1000 / run.median_ms), limits.near)
    return Plateau(
        centre=centre,
        near=near.size / blocks.size,
        near_blocks=near.size,
        near_mad=float(np.median(np.abs(near - np.median(near)))),
        compensated=robust_spread(near) / alone if alone > 0 else 0.0,
        quicker=float(np.mean(off < -limits.quicker_by)),
        at_side=float(np.mean(np.abs(off) <= side)),
        side_quicker=float(np.mean(off < -side)),
        side_slower=float(np.mean(off > side)),
    )


def within(sd: float, reach: float) -> float:
    """The robust sd of those of normal values that lie this near to their centre: the cut alone narrows them.

    >>> round(within(0.001, 0.1), 6), round(within(1.0, 0.001), 6)
    (0.001, 0.000741)
    """
    if sd <= 0:
        return 0.0
    cut = 2 * _NORMAL.cdf(reach / sd) - 1
    return float(MAD_TO_SD * sd * _NORMAL.inv_cdf(0.5 + cut / 4))


def pile_up(run: Features, limits: CapLimits) -> PileUp:
    """The pile-up of a run's frames.

    `contrast` is the density in the window over that on its quick flank, from just outside the window to
    the far edge; one frame is granted to the flank so that an empty one has a finite contrast.
    """
    logs, width = run.log_ms, limits.pile_window
    centre = densest(logs, width)
    off = logs - centre
    inside = float(np.mean(np.abs(off) <= width / 2))
    flank_from, flank_to = -limits.pile_quicker_by, -width * 5 / 3
    edge = float(np.mean(off < -width / 2)) / inside
    flank = (np.count_nonzero((off > flank_from) & (off < flank_to)) + 1) / logs.size
    return PileUp(
        centre=centre,
        share=inside,
        quicker=float(np.mean(off < -limits.pile_quicker_by)),
        contrast=float((inside / width) / (flank / (flank_to - flank_from))),
        edge=edge,
    )


def beat(run: Features, centre: float, limits: CapLimits) -> Beat:
    """The beat of a run's frames near a line."""
    off = run.log_ms - centre
    near = np.abs(off) <= min(max(limits.beat_noise * run.noise, limits.pile_window), limits.beat_most)
    pairs, thirds = (int(np.count_nonzero(near[k:] & near[:-k])) for k in (1, 2))
    own = np.zeros(1)
    if pairs:
        off -= off[near].mean()
        own = np.where(near, off, 0.0)
        del off
    power = float(np.square(own).sum()) / max(1, int(np.count_nonzero(near)))
    if not thirds or power <= (limits.still_frames / 100) ** 2:
        return Beat(line=centre, pairs=pairs, next_one=0.0, after_that=0.0)
    return Beat(
        line=math.log(float(run.frame_times_ms[near].mean())),
        pairs=pairs,
        next_one=float((own[1:] * own[:-1]).sum()) / pairs / power,
        after_that=float((own[2:] * own[:-2]).sum()) / thirds / power,
    )


def past(run: Features, centre: float, limits: CapLimits) -> float:
    """Share of a run's blocks that are clearly quicker than this line."""
    return float(np.mean(run.blocks < centre - limits.past_by)) if run.blocks.size else 0.0


def held_at(run: Features, centre: float, limits: CapLimits) -> tuple[float, float]:
    """Share of a run's blocks at this line, and share quicker than it."""
    if not run.blocks.size:
        return 0.0, 0.0
    off = run.blocks - centre
    return float(np.mean(np.abs(off) <= limits.held_tol)), float(np.mean(off < -limits.held_tol))


def same_medians(runs: Sequence[Features], limits: CapLimits) -> bool:
    """Whether all runs have one median frame time, closer than free runs repeat theirs."""
    logs = [math.log(run.median_ms) for run in runs]
    errors = [limits.same_span_noise * run.noise / math.sqrt(run.frames) for run in runs]
    allowed = min(max(limits.same_span, float(np.median(errors))), limits.same_span_most)
    return max(logs) - min(logs) <= allowed


def agreement(runs: Sequence[Features], limits: CapLimits) -> float:
    """By how much likelier medians agree so if the runs share one than if each has its own, ln.

    The Bayes factor of two normal models. Frames that scatter widely, or are few, leave little of it: free
    runs then agree as well as that, by the standard errors of their medians.
    """
    logs = np.log([run.median_ms for run in runs])
    error = max(float(np.median([_median_error(run) for run in runs])), limits.still_frames / 100)
    wider = 1 + (limits.same_repeat / error) ** 2
    squares = float(np.square((logs - logs.mean()) / error).sum())
    return (len(runs) - 1) / 2 * math.log(wider) - squares / 2 * (1 - 1 / wider)


def _median_error(run: Features) -> float:
    """Standard error of a median of independent normal frames, ln; √(π/2) times that of a mean."""
    return math.sqrt(math.pi / 2) * run.noise / math.sqrt(run.frames)
