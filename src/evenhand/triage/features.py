"""What every detector looks at, computed once a run: clean frames, half-second blocks, frame steps."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.stats.medians import median, median_of_own
from evenhand.traces.past_belief import past_belief
from evenhand.traces.trace import Flaw
from evenhand.triage.candidate import Candidate
from evenhand.triage.curves import Flags, Floats, calm_frames
from evenhand.triage.thresholds import DEFAULT, Thresholds

MAD_TO_SD = 1.4826
_DISTANCES = (1, 2, 3, 4)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Features:
    """One run, prepared.

    `frame_times_ms`: shape (n,), the finite and positive ones only; `log_ms` their natural logs. `edges_s`:
    shape (n+1,), seconds of frame time before each of them, and of all. `blocks`: shape (b,), log of the mean
    frame time of each full block, `block_s` long, from `block_starts_s` on. `noise` is the robust sd of one
    frame: the least over pairs one to four frames apart, so that frames which alternate or go round in fours
    do not count. `calm`: shape (n,), which frames follow the scene (see `curves`). Arrays are empty without a
    trace, `edges_s` too, and `noise`, `median_ms` and `duration_s` are NaN then.
    """

    run: Candidate
    rows: int
    bad_rows: npt.NDArray[np.int64]
    frame_times_ms: Floats
    log_ms: Floats
    edges_s: Floats
    blocks: Floats
    block_starts_s: Floats
    block_s: float
    calm: Flags
    noise: float
    median_ms: float
    duration_s: float

    @property
    def id(self) -> str:
        """The run's id."""
        return self.run.id

    @property
    def begins_s(self) -> Floats:
        """Seconds of frame time before each frame; shape (n,)."""
        return self.edges_s[:-1]

    @property
    def steps(self) -> Floats:
        """Log ratio of each frame to the one before; shape (n−1,). Worked out when asked: few ask."""
        return np.diff(self.log_ms)

    @property
    def flaws(self) -> tuple[Flaw, ...]:
        """What the reader listed, each flaw once."""
        own = self.run.trace.flaws if self.run.trace is not None else ()
        return tuple(dict.fromkeys((*self.run.flaws, *own)))

    @property
    def frames(self) -> int:
        """How many usable frames there are."""
        return self.frame_times_ms.size


def features(run: Candidate, thresholds: Thresholds = DEFAULT) -> Features:
    """Prepare one run.

    >>> from evenhand.traces.trace import Trace
    >>> trace = Trace(frame_times_ms=np.array([10.0, 10.0, np.nan, 20.0]))
    >>> f = features(Candidate(id="r", label="r", headline=None, trace=trace))
    >>> f.frames, f.bad_rows.tolist(), round(f.duration_s, 3)
    (3, [2], 0.04)
    """
    raw = run.trace.frame_times_ms if run.trace is not None else np.empty(0)
    good = np.isfinite(raw) & (raw > 0) & ~past_belief(raw)
    times = raw if good.all() else raw[good]  # as a rule all are good, and are not held twice
    log_ms = np.log(times)
    ends_s = np.cumsum(times)
    ends_s /= 1000
    median_ms = median(times)
    block_s = max(thresholds.cap.block_s, thresholds.cap.block_frames * median_ms / 1000)
    blocks, starts_s = _block_logs(ends_s, block_s) if times.size else (np.empty(0), np.empty(0))
    return Features(
        run=run,
        rows=raw.size,
        bad_rows=np.flatnonzero(~good),
        frame_times_ms=times,
        log_ms=log_ms,
        edges_s=_edges(ends_s, times),
        blocks=blocks,
        block_starts_s=starts_s,
        block_s=block_s,
        calm=calm_frames(times, thresholds.curve),
        noise=_noise(log_ms),
        median_ms=median_ms,
        duration_s=float(ends_s[-1]) if times.size else math.nan,
    )


def _edges(ends_s: Floats, times: Floats) -> Floats:
    """Where each frame begins by where it ends, and the end of the last."""
    edges = np.empty(ends_s.size + min(ends_s.size, 1))
    begins = np.divide(times, 1000, out=edges[: ends_s.size])
    np.subtract(ends_s, begins, out=begins)
    edges[ends_s.size :] = ends_s[-1:]
    return edges


def _noise(log_ms: Floats) -> float:
    apart = [_usual_distance(log_ms, k) for k in _DISTANCES if log_ms.size > k]
    return MAD_TO_SD * min(apart) / math.sqrt(2) if apart else math.nan


def _usual_distance(log_ms: Floats, k: int) -> float:
    apart = log_ms[k:] - log_ms[:-k]
    return median_of_own(np.abs(apart, out=apart))


def _block_logs(ends_s: Floats, block_s: float) -> tuple[Floats, Floats]:
    """Log mean frame time and start of each full block; frames belong where they end, empty ones drop out."""
    full = int(ends_s[-1] / block_s)
    cuts = np.searchsorted(ends_s, block_s * np.arange(full + 1), side="right")
    sums = np.diff(np.concatenate(([0.0], ends_s))[cuts]) * 1000
    counts = np.diff(cuts)
    some = counts > 0
    return np.log(sums[some] / counts[some]).astype(np.float64), block_s * np.flatnonzero(some).astype(float)


def robust_spread(values: Floats) -> float:
    """1.4826 times the median absolute deviation: the sd of a normal sample with outliers.

    >>> round(robust_spread(np.array([1.0, 2.0, 3.0, 4.0, 100.0])), 4)
    1.4826
    """
    off = values - median(values)
    return MAD_TO_SD * median_of_own(np.abs(off, out=off))
