"""Whether frames wait for the screen: frame times that lie on whole multiples of one period."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.limits.rates import ScreenLimits, nearest_rate
from evenhand.triage.plateaus import densest


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Grid:
    """Frame times as multiples of a period.

    `shares`: shape (m,), the part of all frames that lies within a quarter period of 1, 2, … m periods;
    `between` the part that lies at none of them. `phase_sd` is the circular sd of frame time over period, in
    periods; `apart` how far the middles of the two fullest clusters are from being whole multiples of each
    other, in periods; `widening` the spread of the longer of the two over that of the shorter; `loose` the
    spread of all frames but those of the fullest one, in periods; `memory` the spread of sums of
    `lock_frames` frames over that of independent ones: far below 1 where each frame makes up for the one
    before, as it does on a screen's beat. `mixed` is the share of windows of so many frames in which they
    take more than one multiple.
    """

    period_ms: float
    shares: Floats
    between: float
    phase_sd: float
    apart: float
    widening: float
    loose: float
    memory: float
    mixed: float

    @property
    def rate_fps(self) -> float:
        """The screen's rate."""
        return 1000 / self.period_ms

    @property
    def main(self) -> int:
        """The multiple that most frames take, in periods."""
        return int(np.argmax(self.shares)) + 1

    @property
    def next_share(self) -> float:
        """The part of all frames at the multiple that comes next."""
        return float(np.sort(self.shares)[-2])


def screen_grid(run: Features, limits: ScreenLimits) -> Grid | None:
    """The grid that a run's frame times lie on; None where there is none.

    The period is not taken from a list: the densest frame time is tried as one, two, … periods, and the
    period is then fitted to all frames near a multiple of it.

    >>> from evenhand.traces.trace import Trace
    >>> from evenhand.triage.candidate import Candidate
    >>> from evenhand.triage.features import features
    >>> waits = np.resize([1, 1, 2, 1, 3], 900) * 1000 / 144
    >>> run = features(Candidate(id="r", label="r", headline=None, trace=Trace(frame_times_ms=waits)))
    >>> grid = screen_grid(run, ScreenLimits())
    >>> grid is not None and (round(grid.rate_fps, 1), grid.shares.round(1).tolist())
    (144.0, [0.6, 0.2, 0.2, 0.0, 0.0, 0.0, 0.0, 0.0])
    """
    times = run.frame_times_ms
    if times.size < limits.least_frames or not _spreads(run.log_ms, limits):
        return None
    sample = _sample(times, limits.sample_frames)
    dense_ms = math.exp(densest(np.log(sample), limits.dense_window))
    for periods in range(1, limits.most_periods + 1):
        period = _fitted(sample, dense_ms / periods, limits)
        if _between(sample, period, limits) > limits.between_share * limits.sample_slack:
            continue
        period = _fitted(times, period, limits)
        if not _two_multiples(times, period, limits):
            continue
        grid = _measured(times, period, limits)
        if _on_grid(grid, limits) and _sure(grid, times, periods, limits):
            return grid
    return None


def same_beat(run: Features, beside: Grid, limits: ScreenLimits) -> Grid | None:
    """The grid of a run that waits for the same screen as one beside it, if only at one multiple.

    Its frames must keep the beat: alone it could as well be held by a limiter.
    """
    if run.frames < limits.least_frames:
        return None
    grid = _measured(run.frame_times_ms, beside.period_ms, limits, any_window=True)
    between = grid.between <= limits.between_share and grid.phase_sd <= limits.phase_sd
    off = abs(run.median_ms / beside.period_ms - grid.main)
    kept = grid.memory <= limits.locked and off <= limits.same_beat
    return grid if between and kept else None


def _spreads(log_ms: Floats, limits: ScreenLimits) -> bool:
    """Whether frame times differ enough to lie on two multiples at all: a cheap look before the dear one."""
    low, high = np.quantile(log_ms, [limits.second_locked / 2, 1 - limits.second_locked / 2])
    return bool(high - low > math.log1p(1 / (limits.most_periods + 1)) / 2)


def _sample(times: Floats, most: int, pieces: int = 6) -> Floats:
    """A few whole stretches of a long run: enough to tell that it lies on no grid."""
    if times.size <= most:
        return times
    length = most // pieces
    starts = np.linspace(0, times.size - length, pieces).astype(np.int64)
    return np.concatenate([times[s : s + length] for s in starts])


def _fitted(times: Floats, period: float, limits: ScreenLimits, rounds: int = 3) -> float:
    """Least squares of frame time on whole periods, over the frames near a multiple."""
    for _ in range(rounds):
        whole, near = _whole_periods(times, period, limits)
        if not whole.size:
            return period
        near *= whole
        period = float(near.sum() / np.square(whole, out=whole).sum())
    return period


def _whole_periods(times: Floats, period: float, limits: ScreenLimits) -> tuple[Floats, Floats]:
    """Of the frames near a multiple, how many whole periods each takes, and how long it takes."""
    off = times / period
    counts = np.rint(off)
    off -= counts
    near = (np.abs(off, out=off) <= limits.near) & (counts >= 1) & (counts <= limits.multiples)
    del off
    whole = counts[near]
    del counts
    return whole, times[near]


def _measured(times: Floats, period: float, limits: ScreenLimits, *, any_window: bool = False) -> Grid:
    ratio = times / period
    counts = np.rint(ratio).astype(np.int64)
    phase = ratio - counts
    judged = counts <= limits.multiples  # longer ones are hitches, wherever they fall
    at = judged & (counts >= 1) & (np.abs(phase) <= limits.near)
    found = np.bincount(counts[at], minlength=limits.multiples + 1)[1:]
    first, second = np.sort(np.argsort(found)[-2:]) + 1
    low, high = phase[at & (counts == first)], phase[at & (counts == second)]
    others = phase[at & (counts != np.argmax(found) + 1)]
    return Grid(
        period_ms=period,
        shares=found / times.size,
        between=float(np.count_nonzero(judged & ~at)) / times.size,
        phase_sd=_circular_sd(phase[judged]),
        apart=abs(float(np.median(high) - np.median(low))) if low.size and high.size else 0.5,
        widening=_spread(high) / max(_spread(low), limits.finest) if low.size and high.size else math.inf,
        loose=_spread(others) if others.size else math.inf,
        mixed=float(np.mean(_mixed(counts, limits))) if times.size >= limits.lock_frames else 0.0,
        memory=_memory(np.where(at, phase, 0.0), counts, limits, any_window=any_window),
    )


def _circular_sd(phase: Floats) -> float:
    """Circular standard deviation in turns (Mardia and Jupp 2000, eq. 2.3.11)."""
    length = float(np.abs(np.exp(2j * np.pi * phase).mean())) if phase.size else 0.0
    return math.sqrt(max(0.0, -2 * math.log(length))) / (2 * math.pi) if length > 0 else math.inf


def _spread(phase: Floats) -> float:
    low, high = np.quantile(phase, [0.25, 0.75])
    return float(high - low)


def _memory(phase: Floats, counts: npt.NDArray[np.int64], limits: ScreenLimits, *, any_window: bool) -> float:
    """Spread of sums of neighbouring phases over that of sums of as many independent ones.

    Only windows in which frames take more than one multiple count, unless `any_window` does: a stretch at
    one of them shows no screen.
    """
    size = limits.lock_frames
    windows = phase.size // size
    mixed = _mixed(counts, limits) | any_window
    if np.count_nonzero(mixed) < limits.lock_windows:
        return 1.0
    own = phase[: windows * size].reshape(windows, size)[mixed]
    return _spread(own.sum(axis=1)) / (max(_spread(own), limits.finest) * math.sqrt(size))


def _mixed(counts: npt.NDArray[np.int64], limits: ScreenLimits) -> npt.NDArray[np.bool_]:
    """Windows in which frames take more than one multiple."""
    windows = counts.size // limits.lock_frames
    at = counts[: windows * limits.lock_frames].reshape(windows, limits.lock_frames)
    return np.asarray((at != at[:, :1]).any(axis=1))


def _between(times: Floats, period: float, limits: ScreenLimits) -> float:
    """Share of frames that lie at no multiple."""
    ratio = times / period
    counts = np.rint(ratio)
    off = (np.abs(ratio - counts) > limits.near) | (counts < 1)
    return float(np.count_nonzero(off & (counts <= limits.multiples))) / times.size


def _two_multiples(times: Floats, period: float, limits: ScreenLimits) -> bool:
    """Whether the period is one of a screen and enough frames take another multiple than most do."""
    if not limits.shortest_ms <= period <= limits.longest_ms:
        return False
    found = np.bincount(np.rint(times / period).astype(np.int64).clip(max=limits.multiples + 1))
    shared = np.sort(found[1 : limits.multiples + 1])
    second = int(shared[-2]) if shared.size > 1 else 0
    return second >= max(limits.second_frames, limits.second_locked * times.size)


def _on_grid(grid: Grid, limits: ScreenLimits) -> bool:
    """Whether frames lie at two multiples or more, and next to none between."""
    return (
        grid.between <= min(limits.between_share, limits.between_of_second * grid.next_share)
        and grid.next_share >= limits.second_locked
        and grid.phase_sd <= limits.phase_sd
    )


def _sure(grid: Grid, times: Floats, periods: int, limits: ScreenLimits) -> bool:
    """Whether it is a screen's grid, and not a scene whose frame times have a whole ratio by chance.

    A screen's beat is kept: frames make up for each other. Without that, the period must be one that
    screens have; or the clusters must be equally wide, as waiting makes them, and frames go back and forth
    between them: free frames scatter in proportion to how long they take, and rooms last.
    """
    if grid.apart > limits.apart or _coarse(times, grid.period_ms, limits):
        return False
    few = grid.next_share < limits.second_share
    if grid.memory <= limits.locked and (not few or grid.loose <= limits.loose):
        return True
    if few:
        return False
    listed = nearest_rate(grid.rate_fps, limits.listed_within) is not None
    even = grid.widening <= limits.widening and grid.mixed >= limits.mixed
    return (listed and periods <= limits.periods_unlocked) or (even and periods <= limits.periods_unlisted)


def _coarse(times: Floats, period: float, limits: ScreenLimits) -> bool:
    """Whether the grid may be that of the log's own clock, which counts whole milliseconds."""
    whole: npt.NDArray[np.bool_] = times == np.rint(times)
    return period < limits.log_steps and bool(whole.all())
