"""A rate that the test declares, and that the run is not at."""

from __future__ import annotations

import math

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.triage.features import Features
from evenhand.triage.held import longest, spans
from evenhand.triage.limits.rates import CapLimits
from evenhand.triage.quiet import chunks, piece_frames
from evenhand.triage.wording import amount, change, rate, share

KIND = "lock-missed"


def meets(rate_fps: float, locked: float | None, limits: CapLimits) -> bool:
    """Whether a rate is the declared one.

    >>> meets(59.8, 60.0, CapLimits()), meets(58.0, 60.0, CapLimits()), meets(60.0, None, CapLimits())
    (True, False, False)
    """
    return locked is not None and abs(math.log(rate_fps / locked)) <= limits.locked_within


def lock_missed(run: Features, locked: float, limits: CapLimits) -> Fault | None:
    """A declared rate that was not met: the limiter was off, or the machine could not keep up.

    The average is taken over calm frames: a hitch is no reason to say that the rate was not held. Marked is
    where the run is away from the rate.
    """
    middle = 1000 / run.median_ms
    calm = run.frame_times_ms[run.calm]
    average = 1000 * calm.size / float(calm.sum())
    off = abs(math.log(average / locked)) > limits.locked_average
    if meets(middle, locked, limits) and not off:
        return None
    quick, places = average > locked, away(run, locked, limits)
    away_s = sum(place.to_s - place.from_s for place in places)
    return Fault(
        kind=KIND,
        title="Declared rate not met",
        severity=Severity.IN_DOUBT,
        evidence=(
            f"The test declares {rate(locked)}; this run averages {rate(average)} "
            f"({change(average / locked)}) without its hitches, {rate(middle)} in the "
            f"median{_told(away_s, run, limits)}."
        ),
        todo=(
            "The limiter was off or set otherwise: set it and record the run again."
            if quick
            else "If the machine cannot hold the rate, keep the run and say so; else look for what slowed it."
        ),
        numbers={"declared_fps": locked, "average_fps": average, "median_fps": middle, "away_s": away_s},
        places=longest(places),
        behaviour=not quick,
    )


def away(run: Features, locked: float, limits: CapLimits) -> tuple[Place, ...]:
    """Where half seconds without their hitches are not at the declared rate."""
    pieces = chunks(run, limits)
    shape = (pieces.middles.size, piece_frames(run, limits))
    calm, times = (a[: shape[0] * shape[1]].reshape(shape) for a in (run.calm, run.frame_times_ms))
    expected_ms = calm.sum(axis=1) * 1000 / locked
    taken_ms = np.where(calm, times, 0.0).sum(axis=1)
    off = np.abs(taken_ms - expected_ms) > expected_ms * math.expm1(limits.locked_within)
    return spans(off, pieces.begins_s[:-1], pieces.begins_s[1:], bridged=0)


def _told(away_s: float, run: Features, limits: CapLimits) -> str:
    """For how long it was away from the rate; nothing where no half second was."""
    part = f"{amount(away_s, 1, 's')} ({share(away_s / run.duration_s, 0)} of the run)"
    return f"; for {part} it is more than {share(limits.locked_within, 0)} away" if away_s else ""
