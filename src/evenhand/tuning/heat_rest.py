"""Whether a network that fits a log's load holds at its rest too: rest after load, forecast from all else.

One sum of watts does not tell where in a part they are drawn. Memory beside a chip may draw another share of
them at rest than under load, and is then warmer or cooler there than any network of that sum says. A network
that was fitted to the rest too hides most of it, since it settles between both: so the temperatures of every
rest that comes after load are left out, the network is fitted anew, and held against them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from evenhand.errors import NotEnoughRuns
from evenhand.stats.spread import Floats
from evenhand.tuning.heat_load import Hold, holds, load_of
from evenhand.tuning.heat_log import HeatLog
from evenhand.tuning.network_fit import Fit, fit_network, varied

OFF_C = 1.5
"""Rest that lies further off on average is told of load alone; of simulated parts whose watts tell all
few come to a third of it (`validation.heat_rest`)."""

REST_SHARE = 0.2  # of the way from the least power that was held to the load: up to there it rests
LOAD_SHARE = 0.8  # and from here on it is under load
SHORTEST_S, FEWEST = 20.0, 10  # seconds and readings of a hold that tells anything of a rest
SMOOTH_S = 15.0  # the farthest is that of medians over so long, since single readings scatter
USUAL = 0.95  # of the readings elsewhere
MOST_ROWS = 20_000  # a longer log is not fitted once more


@dataclass(frozen=True, slots=True, kw_only=True)
class RestChecked:
    """Readings at rest after load less what the network of all other rows says, in °C.

    `mean_c` on average, `most_c` where they lie farthest off; 95 of 100 other readings lie within `others_c`
    of that network. `middle_w` is halfway between rest and load.
    """

    mean_c: float
    most_c: float
    others_c: float
    middle_w: float

    @property
    def differs(self) -> bool:
        """Whether the network tells of load alone."""
        return abs(self.mean_c) > OFF_C


def rest_checked(fit: Fit) -> RestChecked | None:
    """The check of a log; None where it never rests after load, or the rest of it tells no network alone."""
    log = fit.log
    if log.time_s.size > MOST_ROWS:
        return None
    every = [each for each in holds(log) if each.seconds >= SHORTEST_S]
    if not every:
        return None
    least, most = min(each.watts for each in every), load_of(log).watts
    found = _rests(log, every, least, most)
    if not found:
        return None
    return _checked(fit, found, (least + most) / 2)


def _rests(log: HeatLog, every: Sequence[Hold], least: float, most: float) -> list[Hold]:
    """The holds at rest that come after one under load, with readings enough."""
    begun = [each.begin for each in every if each.watts >= least + LOAD_SHARE * (most - least)]
    if not begun or least > most / 2:
        return []
    return [
        each for each in every
        if each.watts <= least + REST_SHARE * (most - least) and each.begin > min(begun)
        and log.read[each.begin : each.end].sum() >= FEWEST
    ]  # fmt: skip


def _checked(fit: Fit, rests: Sequence[Hold], middle_w: float) -> RestChecked | None:
    log = fit.log
    resting = np.zeros(log.time_s.size, bool)
    for each in rests:
        resting[each.begin : each.end] = True
    other = replace(log, temperature_c=np.where(resting, np.nan, log.temperature_c))
    if not varied(log.only(~resting)):
        return None
    try:
        told = fit_network(other, stages=fit.stages)
    except NotEnoughRuns:
        return None
    if told.log.time_s.size != log.time_s.size:
        return None  # a stretch of it was rest alone: what was stored there is not known
    off = log.temperature_c - told.of(log)
    here = off[resting & log.read]
    away = [_farthest(off[each.begin : each.end], log.step_s) for each in rests]
    rest = np.abs(off[~resting & log.read])
    return RestChecked(
        mean_c=float(here.mean()), most_c=max(away, key=abs), others_c=float(np.quantile(rest, USUAL)),
        middle_w=middle_w,
    )  # fmt: skip


def _farthest(off: Floats, step_s: float) -> float:
    """The farthest of running medians."""
    known = off[np.isfinite(off)]
    wide = min(max(int(SMOOTH_S / step_s), FEWEST), known.size)
    middles = np.median(np.lib.stride_tricks.sliding_window_view(known, wide), axis=1)
    return float(middles[np.argmax(np.abs(middles))])
