"""Rows that are not frames: samples taken at intervals, frames logged twice, a clock in their place."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from evenhand.records.faults import Fault, Severity
from evenhand.triage.clocks import ClockCheck, clock_of, only_rises
from evenhand.triage.features import Features
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, count

KIND = "not-frames"


def not_frames(view: CellView) -> Iterator[tuple[str, Fault]]:
    """The clock runs on at another pace than the frame times add up, or the "frame times" are a clock."""
    limits = view.limits.rows
    for run in view.runs:
        if only_rises(run, limits):
            yield run.id, _clock(run)
            continue
        check = clock_of(run, view)
        if check is None or check.sum_s <= 0 or view.has(run.id, "wrong-units"):
            continue
        ratio = check.span_s / check.sum_s
        paced = limits.span_under_sum <= ratio <= limits.span_over_sum
        if not paced and _odd_rows(check) > limits.least_rows:
            yield run.id, _fault(check, ratio)


def _odd_rows(check: ClockCheck) -> float:
    """Share of rows whose frame time is off the clock by a third: one long gap is not another kind of row."""
    return float(np.mean(np.abs(check.steps_s - check.frames_s) > np.abs(check.frames_s) / 3))


def _clock(run: Features) -> Fault:
    first, last = (float(run.frame_times_ms[k]) for k in (0, -1))
    return Fault(
        kind=KIND,
        title="A clock read as frame times",
        severity=Severity.BLOCKS,
        evidence=(
            f"Over {count(run.frames, 'row')} the frame times never fall, from {amount(first, 4, 'ms')} to "
            f"{amount(last, 4, 'ms')}: that is what a clock does."
        ),
        todo="Name the column as elapsed time in a layout and read the log again.",
        numbers={"first_ms": first, "last_ms": last, "rows": float(run.frames)},
    )


def _fault(check: ClockCheck, ratio: float) -> Fault:
    rows = "stand for more than one frame each" if ratio > 1 else "repeat frames that were logged already"
    return Fault(
        kind=KIND,
        title="Rows that are not frames",
        severity=Severity.BLOCKS,
        evidence=(
            f"The clock runs for {amount(check.span_s, 2, 's')} while the frame times add up to "
            f"{amount(check.sum_s, 2, 's')}: the rows {rows}."
        ),
        todo="Log one row a frame, or import it as a sensor log; check which column is the frame time.",
        numbers={"clock_span_s": check.span_s, "frame_time_sum_s": check.sum_s, "span_over_sum": ratio},
    )
