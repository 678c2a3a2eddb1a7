"""A fan that changes makes another network of the same part: one for each of its levels."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from evenhand.errors import NotEnoughRuns
from evenhand.tuning.heat_log import FEWEST, RECORD, SHORTEST_S, HeatLog
from evenhand.tuning.network_fit import Fit, fit_network

Levels = npt.NDArray[np.intp]

MOST = 4  # a fan with more levels than this wanders
APART = 0.08  # of the fastest: levels of a fan lie further apart than it wanders within one


def fan_levels(fan: npt.ArrayLike) -> Levels | None:
    """The level that a fan ran at in each row, 0 the slowest; None where it wandered or was not read.

    Speeds in any unit. Levels are parted where no reading lies between them for 8 % of the fastest.

    >>> fan_levels([1200, 1210, 0, 0, 1195]).tolist()
    [1, 1, 0, 0, 1]
    """
    speeds = np.asarray(fan, float)
    if not np.isfinite(speeds).all():
        return None
    values = np.unique(speeds)
    width = APART * max(float(values[-1]), 1e-9)
    parted = np.flatnonzero(np.diff(values) > width)
    levels = np.split(values, parted + 1)
    if len(levels) > MOST or any(float(np.ptp(level)) > 2 * width for level in levels):
        return None
    return np.searchsorted(values[parted], speeds, side="left")


def by_fan(log: HeatLog, levels: Levels) -> Mapping[int, HeatLog]:
    """The part of a log at each level of the fan; each time the fan comes back to it begins a new stretch."""
    came = log.begins | np.r_[True, np.diff(levels) != 0]
    return {int(level): log.only(levels == level, begins=came) for level in np.unique(levels)}


def fit_by_fan(log: HeatLog, levels: Levels) -> Mapping[int, Fit]:
    """The network at each level of the fan that ran long enough to show one.

    `levels` has the shape of the log's rows. Raises `NotEnoughRuns` where none ran long enough.
    """
    fits = {}
    for level, part in by_fan(log, levels).items():
        if part.read.sum() >= FEWEST and part.step_s * part.time_s.size >= SHORTEST_S:
            try:
                fits[level] = fit_network(part)
            except NotEnoughRuns:
                continue  # a level that tells no network of its own is not among the answers
    if not fits:
        raise NotEnoughRuns("no level of the fan was held long enough", todo="fix the fan, then " + RECORD)
    return fits
