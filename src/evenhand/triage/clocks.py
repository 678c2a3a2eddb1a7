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
    row by row; `at_s`, shape (n−1,), is the frame time spent before each.
    """

    span_s: float
    sum_s: float
    tick_s: float
    steps_s: Floats
    frames_s: Floats
    at_s: Floats

    @property
    def off_s(self) -> Floats:
        """By how much the clock has run ahead of the frame times up to each row, s; shape (n−1,)."""
        return np.cumsum(self.steps_s - self.frames_s)


def clock_of(run: Features, view: CellView) -> ClockCheck | None:
    """A run's frames against its clock; worked out once."""
    return view.prepared.derived(run, "clock", 0, lambda: check_clock(run))


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
    clock, frames = trace.elapsed_s[use], trace.frame_times_ms[use] / 1000
    if clock.size < 2:
        return None
    steps = np.diff(clock)
    paired = min((frames[:-1], frames[1:]), key=lambda side: float(np.abs(steps - side).sum()))
    forward = steps[steps > 0]
    return ClockCheck(
        span_s=float(clock[-1] - clock[0]),
        sum_s=float(paired.sum()),
        tick_s=float(forward.min()) if forward.size else 0.0,
        steps_s=steps,
        frames_s=paired,
        at_s=np.cumsum(frames)[:-1],
    )
