"""What some hours more at a point would change, told before anybody spends them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.tuning.advice import Goal
from evenhand.tuning.edge import Edge
from evenhand.tuning.telling import ENDS


@dataclass(frozen=True, slots=True, kw_only=True)
class Prospect:
    """What a soak would change: how likely it holds, and the voltage needed then, as surely as is asked.

    Where it fails, how soon it does tells as well: `if_failed_mv` is the mean over when it may.
    """

    hours: float
    holds: float
    now_mv: float
    if_held_mv: float
    if_failed_mv: float

    @property
    def tells(self) -> bool:
        """Whether holding would change a whole millivolt; else failing is next to ruled out, too."""
        return round(self.if_held_mv) != round(self.now_mv)


def prospect(
    edge: Edge, voltage_mv: float, clock_mhz: float, room_c: float, hours: float, goal: Goal
) -> Prospect:
    """What so many hours at a point would change of the voltage that the goal needs at that clock."""
    rate = edge.rate(voltage_mv, clock_mhz, room_c)
    held = np.exp(-hours * rate)
    failed = [np.exp(-hours * a * rate) - np.exp(-hours * b * rate) for a, b in pairwise(ENDS)]

    def needed(likelihood: Floats | float) -> float:
        weights = edge.weights * likelihood
        after = replace(edge, weights=weights / weights.sum())
        return after.needed_mv(clock_mhz, goal.room_c, goal.rate, goal.share)[0]

    chances = np.array([edge.weights @ when for when in failed])
    fails = sum(c * needed(when) for c, when in zip(chances, failed, strict=True) if c > 0) / chances.sum()
    return Prospect(
        hours=hours, holds=float(edge.weights @ held), now_mv=needed(1.0), if_held_mv=needed(held),
        if_failed_mv=float(fails),
    )  # fmt: skip
