"""Frame times against a clock logged beside them: the shared measure of two detectors."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.limits.mechanical import RowLimits
from evenhand.triage.view import CellView


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ClockCheck:
    """Frame times against clock steps.

    `span_s` is what the clock says, `sum_s` what the frame times add up to over the same rows;
    `tick_s` is the smallest step the clock takes. `steps_s` and `frames_s`, shape (n−1,), are paired
    row by row; `all_s`, shape (n,), are the frame times of all rows, in seconds.
    """

    span_s: float
    sum_s: float
    tick_s: float
    steps_s: Floats
    frames_s: Floats
    all_s: Floats

    @property
    def at_s(self) -> Floats:
        """The frame time spent before each row, s; shape (n−1,)."""
        return np.cumsum(self.all_s)[:-1]

    @property
    def off_s(self) -> Floats:
        """By how much the clock has run ahead of the frame times up to each row, s; shape (n−1,)."""
        return np.cumsum(self.steps_s - self.frames_s)


def clock_of(run: Features, view: CellView) -> ClockCheck | None:
    """A run's frames against its clock; worked out once."""
    return view.prepared.as_long_as_the_run(run, "clock", 0, lambda: check_clock(run))


def only_rises(run: Features, limits: RowLimits) -> bool:
    """Whether a run's "frame times" never fall and mostly rise: a clock was read in their place."""
    steps = np.diff(run.frame_times_ms)
    if steps.size < limits.fewest_rising or not steps.min() >= 0:
        return False
    return float(np.mean(steps > 0)) > limits.least_rising


def check_clock(run: Features) -> ClockCheck | None:
    """Pair each clock step with the frame before or after it, whichever fits better.

    None without an independent clock or with fewer than two rows that carry both.
    """
    trace = run.run.trace
    if trace is None or trace.elapsed_s is None or trace.derived:
        return None
    use = np.isfinite(trace.elapsed_s) & np.isfinite(trace.frame_times_ms)
    every = bool(use.all())  # as a rule: then nothing is copied
    clock = trace.elapsed_s if every else trace.elapsed_s[use]
    frames = (trace.frame_times_ms if every else trace.frame_times_ms[use]) / 1000
    if clock.size < 2:
        return None
    steps = np.diff(clock)
    paired = min((frames[:-1], frames[1:]), key=lambda side: _misfit(steps, side))
    tick_s = float(np.min(steps, where=steps > 0, initial=np.inf))
    return ClockCheck(
        span_s=float(clock[-1] - clock[0]),
        sum_s=float(paired.sum()),
        tick_s=tick_s if tick_s < np.inf else 0.0,
        steps_s=steps,
        frames_s=paired,
        all_s=frames,
    )


def _misfit(steps_s: Floats, frames_s: Floats) -> float:
    off = steps_s - frames_s
    return float(np.abs(off, out=off).sum())
