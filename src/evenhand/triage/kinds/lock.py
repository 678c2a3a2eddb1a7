"""A rate that the test declares, and that the run is not at."""

from __future__ import annotations

import math

from evenhand.records.faults import Fault, Severity
from evenhand.triage.features import Features
from evenhand.triage.limits.rates import CapLimits
from evenhand.triage.wording import change, rate

KIND = "lock-missed"


def meets(rate_fps: float, locked: float | None, limits: CapLimits) -> bool:
    """Whether a rate is the declared one.

    >>> meets(59.8, 60.0, CapLimits()), meets(58.0, 60.0, CapLimits()), meets(60.0, None, CapLimits())
    (True, False, False)
    """
    return locked is not None and abs(math.log(rate_fps / locked)) <= limits.locked_within


def lock_missed(run: Features, locked: float, limits: CapLimits) -> Fault | None:
    """A declared rate that was not met: the limiter was off, or the machine could not keep up.

    The average is taken over calm frames: a hitch is no reason to say that the rate was not held.
    """
    middle = 1000 / run.median_ms
    calm = run.frame_times_ms[run.calm]
    average = 1000 * calm.size / float(calm.sum())
    off = abs(math.log(average / locked)) > limits.locked_average
    if meets(middle, locked, limits) and not off:
        return None
    quick = average > locked
    return Fault(
        kind=KIND,
        title="Declared rate not met",
        severity=Severity.IN_DOUBT,
        evidence=(
            f"The test declares {rate(locked)}; this run averages {rate(average)} "
            f"({change(average / locked)}) without its hitches, {rate(middle)} in the median."
        ),
        todo=(
            "The limiter was off or set otherwise: set it and record the run again."
            if quick
            else "If the machine cannot hold the rate, keep the run and say so; else look for what slowed it."
        ),
        numbers={"declared_fps": locked, "average_fps": average, "median_fps": middle},
        behaviour=not quick,
    )
