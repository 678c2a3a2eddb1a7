"""Frames and clock disagree: gaps, lost frames, a clock that was set while the run went on."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.triage.clocks import ClockCheck, clock_of
from evenhand.triage.limits.mechanical import ClockLimits
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, count, moment, share

KIND = "slipped-clock"
_PLACES = 5


def slipped_clock(view: CellView) -> Iterator[tuple[str, Fault]]:
    """The frame times of a run must add up to what an independent clock says."""
    limits = view.limits.clock
    for run in view.runs:
        check = clock_of(run, view)
        if check is None or view.has(run.id, "wrong-units", "not-frames"):
            continue
        backward = int(np.count_nonzero(check.steps_s < 0))
        if backward or abs(check.span_s - check.sum_s) > slack_s(check, limits):
            yield run.id, _fault(check, backward, limits)


def slack_s(check: ClockCheck, limits: ClockLimits) -> float:
    """What the clock may be off by: a share of the span, and one step of a coarse clock."""
    return limits.share * abs(check.span_s) + max(limits.slack_s, min(check.tick_s, limits.jump_s))


def _fault(check: ClockCheck, backward: int, limits: ClockLimits) -> Fault:
    off_s = check.span_s - check.sum_s
    places = _jumps(check, limits)
    return Fault(
        kind=KIND,
        title="Frames and clock disagree",
        severity=Severity.IN_DOUBT,
        evidence=f"{_sums(check, off_s, backward, limits)}{_largest(check, places)}.",
        todo="Record the run again; if this repeats, the logger loses frames or its clock is being set.",
        numbers={
            "clock_span_s": check.span_s,
            "frame_time_sum_s": check.sum_s,
            "backward_steps": float(backward),
        },
        places=places,
    )


def _part(check: ClockCheck) -> float:
    return abs(check.sum_s / check.span_s - 1) if check.span_s else 1.0


def _sums(check: ClockCheck, off_s: float, backward: int, limits: ClockLimits) -> str:
    """By how much the sums differ; of a clock that only steps back and forth, that it does."""
    back = f"the clock beside the frame times steps back {count(backward, 'time')}"
    if backward and abs(off_s) <= slack_s(check, limits):
        return f"{back[:1].upper()}{back[1:]}, though both add up to {amount(check.span_s, 3, 's')}"
    return (
        f"The frame times add up to {amount(check.sum_s, 3, 's')}, the clock beside them to "
        f"{amount(check.span_s, 3, 's')}: {amount(abs(off_s), 3, 's')} ({share(_part(check), 2)}) "
        f"{'missing' if off_s > 0 else 'too much'}{f'; {back}' if backward else ''}"
    )


def _jumps(check: ClockCheck, limits: ClockLimits) -> tuple[Place, ...]:
    """The widest disagreements between a clock step and its frame, in order of time."""
    off = np.abs(check.steps_s - check.frames_s)
    widest = np.argsort(off)[::-1][:_PLACES]
    named = sorted(int(i) for i in widest if off[i] > limits.jump_s)
    at_s = check.at_s
    return tuple(Place(from_s=float(at_s[i]), to_s=float(at_s[i] + abs(check.steps_s[i]))) for i in named)


def _largest(check: ClockCheck, places: tuple[Place, ...]) -> str:
    if not places:
        return ", spread over the whole run"
    i = int(np.argmax(np.abs(check.steps_s - check.frames_s)))
    return (
        f"; the widest step is {amount(check.steps_s[i], 3, 's')} for a frame of "
        f"{amount(check.frames_s[i], 3, 's')} after {moment(float(check.at_s[i]))}"
    )
