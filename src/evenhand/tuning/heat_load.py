"""At which powers a log was held: the highest, which is its load, and the lowest, which is its rest."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from evenhand.stats.steps import level_steps
from evenhand.tuning.heat_log import HeatLog

HELD_ROWS, HELD_SHARE = 10, 0.1  # watts that change by a tenth, and stay so for ten rows, end a hold
SHORTEST_S = 60.0  # what was held for less is no load that anybody would ask about


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """A stretch of a log over which the watts stayed: from row `begin` to before row `end`."""

    begin: int
    end: int
    watts: float
    seconds: float


def holds(log: HeatLog) -> tuple[Hold, ...]:
    """The stretches over which the watts neither changed by a tenth for ten rows nor were unknown."""
    ends = [step.at for step in level_steps(log.watts, hold=HELD_ROWS, min_share=HELD_SHARE)]
    cuts = np.unique([0, *ends, *np.flatnonzero(log.begins), log.watts.size])
    return tuple(
        Hold(
            begin=begin, end=end, watts=float(np.median(log.watts[begin:end])),
            seconds=float(log.time_s[end - 1] - log.time_s[begin]),
        )
        for begin, end in zip(cuts[:-1].tolist(), cuts[1:].tolist(), strict=True)
    )  # fmt: skip


def load_of(log: HeatLog) -> Hold:
    """The highest power that was held for a minute; without any, the one that was held longest."""
    return max(_long_holds(log), key=lambda each: each.watts)


def rest_of(log: HeatLog) -> Hold:
    """The lowest power that was held for a minute; without any, the one that was held longest."""
    return min(_long_holds(log), key=lambda each: each.watts)


def _long_holds(log: HeatLog) -> list[Hold]:
    """The holds of a minute or more; without any the longest alone."""
    every = holds(log)
    long = [each for each in every if each.seconds >= SHORTEST_S]
    return long or [max(every, key=lambda each: each.seconds)]
