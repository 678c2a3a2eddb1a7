"""Where in a sensor log a run lies: two programs log with two clocks, and neither knows of the other.

Three things can tell. The load of a part rises when a run begins and falls when it ends (*edges*). Power,
clocks and load follow the scene as frame times do (*course*). And both logs may carry times of day, which may
be set apart by seconds, or by whole quarters of an hour where they live in different time zones (*stated*).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

import numpy as np
import numpy.typing as npt

from evenhand.records.layouts import Role
from evenhand.traces.trace import SensorLog
from evenhand.traces.windows import between

Floats = npt.NDArray[np.float64]

ACTIVE = (Role.LOAD, Role.POWER)  # what rises with work; clocks of many parts do not
FOLLOWING = (Role.LOAD, Role.POWER, Role.CLOCK)
MARGIN_S = 8.0  # what stands before and after a run is judged over this long
LEAST_EDGE = 0.35  # of a channel's range: half a rise is a menu, or another program
CLEARER = 0.15  # and by this much more than at any other place
LEAST_COURSE = 0.75  # correlation of what is left without slow drifts
LEAST_COURSE_AT_EDGES = 0.5  # the same, where edges have told already
STANDS_OUT = 4.0  # robust spreads of the correlations at all other places
DRIFT_S = 8.0  # what is slower than this says nothing of where
APART_S = 2.0  # places nearer than this are one place
NEAR_S = 5.0
EDGE_WITHIN_STEPS = 2  # of the sensor log: the course may move an edge no further
FEWEST_STEPS = 24  # a course of fewer readings matches anything
STATED_WITHIN_S = 30.0  # a start read off one clock and written by hand is no further off
ZONE_S = 900.0  # time zones differ by quarters of an hour
MOST_ZONES = 104  # from UTC−12 to UTC+14
LEAST_RANGE = 0.05  # of the upper end: a channel that hardly moves tells nothing
OWN_LOG = 3.0  # times the run's length: a longer log may hold other runs
ALIKE_S = 3.0  # logs whose lengths differ by less were begun and ended together
ALIKE_SHARE = 0.05
MOST_STEPS = 4_000_000  # eleven days at four readings a second: more is a clock that was set within the log
WHOLE_SHARE = 0.25  # a log that is longer or shorter by less is taken whole where nothing tells


class How(StrEnum):
    """What told where the run lies."""

    EDGES = "load edges"
    COURSE = "the course of the run"
    STATED = "the times of day"
    TOGETHER = "equal lengths"
    WHOLE = "nothing: the log is taken whole"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alignment:
    """The run begins at `offset_s` of the sensor log.

    `score` is the height of the edges as a share of the channel's range, or the correlation of the courses; 0
    where neither told. `moved_s` is how far that is from where the times of day put it, None without them.
    """

    offset_s: float
    how: How
    score: float = 0.0
    moved_s: float | None = None

    @property
    def zone_s(self) -> float:
        """The whole quarters of an hour by which the two clocks differ; 0 where they do not, or by a day."""
        if self.moved_s is None or abs(self.moved_s) < ZONE_S - STATED_WITHIN_S:
            return 0.0
        quarters = round(self.moved_s / ZONE_S)
        return ZONE_S * quarters if abs(quarters) <= MOST_ZONES else 0.0

    @property
    def doubtful(self) -> bool:
        """Whether the times of day are off by more than two clocks and their zones explain."""
        return self.moved_s is not None and abs(self.moved_s - self.zone_s) > STATED_WITHIN_S


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Grid:
    """A sensor log at even steps of `step_s`, `size` of them, its channels as rows by what they can tell."""

    step_s: float
    size: int
    active: Sequence[Floats]
    following: Sequence[Floats]


def align(
    log: SensorLog, frame_times_ms: Floats | None, *, duration_s: float, stated_s: float | None = None
) -> Alignment | None:
    """Find a run of `duration_s` in a sensor log; None where nothing tells where it lies.

    None, too, where the log's own clock was set while it was written (`clock_was_set`).

    `frame_times_ms`: shape (n,), the run's frames where it has any. `stated_s` is the second of the log at
    which the times of day put its start.

    >>> from evenhand.traces.trace import Channel
    >>> load = np.where((np.arange(120) >= 30) & (np.arange(120) < 90), 97.0, 4.0)
    >>> channel = Channel(role=Role.LOAD, about="graphics", unit="%", values=load)
    >>> found = align(SensorLog(time_s=np.arange(120.0), channels=(channel,)), None, duration_s=60.0)
    >>> found is not None and (found.how.value, round(found.offset_s))
    ('load edges', 30)
    """
    length_s = float(log.time_s[-1] - log.time_s[0]) if log.time_s.size > 1 else 0.0
    if not math.isfinite(duration_s) or duration_s <= 0 or not length_s > 0 or clock_was_set(log):
        return None
    grid = _even(log)
    edges = _by_edges(grid, duration_s, stated_s)
    course = _by_course(grid, frame_times_ms, _where(edges, stated_s, duration_s, grid.step_s))
    found = course or edges or _by_length(length_s, duration_s, stated_s)
    if found is None:
        return None
    moved = None if stated_s is None else found.offset_s - stated_s
    return Alignment(offset_s=found.offset_s, how=found.how, score=found.score, moved_s=moved)


def clock_was_set(log: SensorLog) -> bool:
    """Whether a log spans more time than any can: its first stamp is 0, say, and the next the year 2031."""
    if log.time_s.size < 2:
        return False
    return not float(log.time_s[-1] - log.time_s[0]) <= MOST_STEPS * _step_s(log)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Where:
    """Where the course of a run is looked for, s of the log, and how well it must fit there."""

    near_s: float
    within_s: float
    least: float


def _where(edges: Alignment | None, stated_s: float | None, duration_s: float, step_s: float) -> _Where:
    if edges is not None:
        within_s = EDGE_WITHIN_STEPS * step_s
        return _Where(near_s=edges.offset_s, within_s=within_s, least=LEAST_COURSE_AT_EDGES)
    if stated_s is not None:
        return _Where(near_s=stated_s, within_s=_give_or_take_s(duration_s), least=LEAST_COURSE)
    return _Where(near_s=0.0, within_s=math.inf, least=LEAST_COURSE)


def _give_or_take_s(duration_s: float) -> float:
    """How far from a stated start to look: not as far as the next run of its length may lie."""
    return min(STATED_WITHIN_S, duration_s / 2)


def part_of_run(
    log: SensorLog, frame_times_ms: Floats | None, *, started_at: datetime | None, duration_s: float | None
) -> tuple[SensorLog, Alignment] | None:
    """The readings taken while a run lasted, their time counted from its start, and what told where it lies.

    Without a duration a log without a time of day is taken to cover the run alone. None where nothing tells.
    """
    if duration_s is None:
        alone = log.started_at is None
        return (log, Alignment(offset_s=0.0, how=How.WHOLE)) if alone else None
    stated_s = (started_at - log.started_at).total_seconds() if started_at and log.started_at else None
    found = align(log, frame_times_ms, duration_s=duration_s, stated_s=stated_s)
    if found is None:
        return None
    if found.how in (How.TOGETHER, How.WHOLE):
        return log, found
    part = between(log, found.offset_s, found.offset_s + duration_s)
    return (part, found) if part.time_s.size else None


def _by_length(length_s: float, duration_s: float, stated_s: float | None) -> Alignment | None:
    """What is left where the readings themselves tell nothing."""
    if stated_s is not None:
        inside = -0.5 * duration_s < stated_s < length_s - 0.5 * duration_s
        return Alignment(offset_s=stated_s, how=How.STATED) if inside else None
    longer_s = length_s - duration_s
    if abs(longer_s) <= max(ALIKE_S, ALIKE_SHARE * duration_s):
        return Alignment(offset_s=0.0, how=How.TOGETHER)
    if abs(longer_s) <= WHOLE_SHARE * duration_s:
        return Alignment(offset_s=0.0, how=How.WHOLE)
    return None


# --- edges


def _by_edges(grid: _Grid, duration_s: float, stated_s: float | None) -> Alignment | None:
    """Where load or power rises, stays up for the run's length, and falls."""
    scores = [_edge_scores(channel, grid.step_s, duration_s) for channel in grid.active]
    if not scores:
        return None
    score: Floats = np.max(scores, axis=0)
    at_s = _starts_s(grid, duration_s)
    own = grid.size * grid.step_s <= OWN_LOG * duration_s
    for near_s, within_s in _places(stated_s, _give_or_take_s(duration_s), anywhere=own):
        there = np.abs(at_s - near_s) <= within_s if near_s is not None else np.ones(at_s.size, bool)
        found = _clearest(np.where(there, score, -np.inf), at_s, duration_s)
        if found is not None:
            return Alignment(offset_s=found[0], how=How.EDGES, score=found[1])
    return None


def _places(
    stated_s: float | None, within_s: float, *, anywhere: bool
) -> Iterator[tuple[float | None, float]]:
    """Where to look, in order: near the stated time, near it in other time zones, then `anywhere`.

    In a log of its own the only two edges as far apart as the run is long are its own, whatever clocks say.
    """
    if stated_s is None:
        yield None, math.inf
        return
    yield stated_s, within_s
    for quarters in sorted(range(-MOST_ZONES, MOST_ZONES + 1), key=abs):
        if quarters:
            yield stated_s + quarters * ZONE_S, within_s
    if anywhere:
        yield None, math.inf


def _starts_s(grid: _Grid, duration_s: float) -> Floats:
    """Every start at which at least half of the run lies within the log."""
    first = -int(0.5 * duration_s / grid.step_s)
    return np.asarray(np.arange(first, grid.size + first) * grid.step_s, float)


def _edge_scores(channel: Floats, step_s: float, duration_s: float) -> Floats:
    """For every start: the lower one of rise and fall, as a share of the channel's range.

    A run that begins or ends with the log has one edge to show; half of that is what it is worth.
    """
    margin = max(1, round(min(MARGIN_S, duration_s / 4) / step_s))
    run = max(2, round(duration_s / step_s))
    starts = np.arange(channel.size) - int(0.5 * duration_s / step_s)
    spread = float(np.subtract(*np.quantile(channel, (0.95, 0.05))))
    before, begins = _means(channel, starts - margin, margin), _means(channel, starts, margin)
    ends, after = _means(channel, starts + run - margin, margin), _means(channel, starts + run, margin)
    rise, fall = (begins - before) / spread, (ends - after) / spread
    both = np.minimum(rise, fall)
    one = 0.5 * np.where(np.isnan(rise), fall, np.where(np.isnan(fall), rise, np.nan))
    held = np.abs(begins - ends) / spread
    return np.where(np.isfinite(both), both - held / 2, np.where(np.isfinite(one), one, -np.inf))


def _means(channel: Floats, starts: npt.NDArray[np.int64], length: int) -> Floats:
    """The mean of `length` readings from each start; NaN where most of them lie outside."""
    sums = np.concatenate(([0.0], np.cumsum(channel)))
    low, high = np.clip(starts, 0, channel.size), np.clip(starts + length, 0, channel.size)
    counts = high - low
    with np.errstate(invalid="ignore", divide="ignore"):
        return np.where(counts * 2 > length, (sums[high] - sums[low]) / counts, np.nan)


def _clearest(score: Floats, at_s: Floats, duration_s: float) -> tuple[float, float] | None:
    """The best place and its score, where it is good enough and no other place is nearly as good."""
    best = int(np.argmax(score))
    if not score[best] >= LEAST_EDGE:
        return None
    far = np.abs(at_s - at_s[best]) > max(NEAR_S, duration_s / 10)
    if far.any() and score[best] - score[far].max() < CLEARER:
        return None
    top = np.flatnonzero((score >= score[best] - 0.02) & ~far)
    return float(at_s[top].mean()), float(score[best])


# --- course


def _by_course(grid: _Grid, frame_times_ms: Floats | None, where: _Where) -> Alignment | None:
    """Where power, clocks or load follow the run's own course.

    Slow drifts are taken out of both first: two slow curves agree at many places by chance. A place must
    stand out of all other places of the log and be clear of the next best.
    """
    course = _course(frame_times_ms, grid.step_s)
    if course is None or course.size > grid.size or not grid.following:
        return None
    width = max(3, round(DRIFT_S / grid.step_s))
    pattern = _without_drift(course, width)
    rows = [np.abs(_correlations(_without_drift(c, width), pattern)) for c in grid.following]
    r: Floats = np.max(rows, axis=0)
    at_s = np.arange(r.size) * grid.step_s
    inside = np.abs(at_s - where.near_s) <= where.within_s
    if not inside.any():
        return None
    best = int(np.argmax(np.where(inside, r, -1.0)))
    others = r[np.abs(at_s - at_s[best]) > APART_S]
    rivals = r[inside & (np.abs(at_s - at_s[best]) > APART_S)]
    clear = not rivals.size or r[best] - rivals.max() >= CLEARER
    if r[best] < where.least or not clear or not _stands_out(float(r[best]), others):
        return None
    return Alignment(offset_s=float(at_s[best]), how=How.COURSE, score=float(r[best]))


def _stands_out(r: float, others: Floats) -> bool:
    """Whether a correlation is far above those at all other places; a log with too few of them cannot say."""
    if others.size < FEWEST_STEPS:
        return True
    middle = float(np.median(others))
    spread = 1.4826 * float(np.median(np.abs(others - middle)))
    return r - middle >= STANDS_OUT * max(spread, 0.02)


def _without_drift(values: Floats, width: int) -> Floats:
    """A series less its moving mean over `width` readings, the ends held."""
    from scipy.ndimage import uniform_filter1d  # slow to load, and seldom needed

    return np.asarray(values - uniform_filter1d(values, width, mode="nearest"))


def _course(frame_times_ms: Floats | None, step_s: float) -> Floats | None:
    """Log rate of a run in steps of the sensor log; None where there are too few of them."""
    if frame_times_ms is None:
        return None
    times = frame_times_ms[np.isfinite(frame_times_ms) & (frame_times_ms > 0)]
    ends_s = np.cumsum(times) / 1000
    steps = int(ends_s[-1] / step_s) if times.size else 0
    if steps < FEWEST_STEPS:
        return None
    counts = np.diff(np.searchsorted(ends_s, step_s * np.arange(steps + 1)))
    return np.log(np.maximum(counts, 0.5))


def _correlations(channel: Floats, course: Floats) -> Floats:
    """Pearson's r of the course with every stretch of a channel as long as it; 0 where either is flat."""
    n = course.size
    pattern = course - course.mean()
    norm = float(np.sqrt(pattern @ pattern))
    sums = np.concatenate(([0.0], np.cumsum(channel)))
    squares = np.concatenate(([0.0], np.cumsum(channel**2)))
    mean = (sums[n:] - sums[:-n]) / n
    energy = np.maximum(squares[n:] - squares[:-n] - n * mean**2, 0.0)
    products = np.correlate(channel, pattern, mode="valid")
    flat = energy <= 1e-9 * max(float(channel @ channel), 1e-12)
    return np.where(flat | (norm <= 0), 0.0, products / np.sqrt(np.where(flat, 1.0, energy)) / (norm or 1.0))


def _even(log: SensorLog) -> _Grid:
    """The readings at even steps of their usual interval, each channel filled over its gaps."""
    step_s = _step_s(log)
    at_s = log.time_s[0] + np.arange(int((log.time_s[-1] - log.time_s[0]) / step_s) + 1) * step_s
    rows: dict[Role, list[Floats]] = {role: [] for role in FOLLOWING}
    for channel in log.channels:
        known = np.isfinite(channel.values)
        if channel.role not in rows or np.count_nonzero(known) < 2:
            continue
        filled = np.interp(at_s, log.time_s[known], channel.values[known])
        low, high = np.quantile(filled, (0.05, 0.95))
        if high - low > LEAST_RANGE * abs(high):
            rows[channel.role].append(filled)
    return _Grid(
        step_s=step_s,
        size=at_s.size,
        active=[row for role in ACTIVE for row in rows[role]],
        following=[row for role in FOLLOWING for row in rows[role]],
    )


def _step_s(log: SensorLog) -> float:
    """The usual interval between readings, held to what serves to find a run."""
    return min(max(float(np.median(np.diff(log.time_s))), 0.25), 2.0)
