"""What the picture of a temperature log shows: readings, the network with its band, limit and room."""

from __future__ import annotations

import numpy as np

from evenhand.desk.tuning.heat import HeatNow
from evenhand.desk.tuning.heat_rows import log_words
from evenhand.publish.figures.tuning.heat_curve import HeatCurve
from evenhand.publish.tuning.heat import COMES_ON_TOP, doubt_words, short_titles
from evenhand.records.trials import Quantity
from evenhand.stats.spread import Floats
from evenhand.tuning.heat_forecast import onward
from evenhand.tuning.heat_outlook import HeatAsked


def heat_scene(now: HeatNow, *, settles: bool = False, foot: tuple[str, ...] = ()) -> HeatCurve | None:
    """What is drawn of a log; None where no reading could be had.

    Its head says where the part `settles`, or else what the log and its model are.
    """
    read = now.read
    if read is None or np.isfinite(read.temperature_c).sum() < 2:
        return None
    model = (np.full(read.time_s.shape, np.nan),) * 3 if now.fit is None else _model(now, read.time_s)
    return HeatCurve(
        setup=now.heat.setup, part=now.heat.part, times_s=read.time_s, readings_c=read.temperature_c,
        model_c=model[0], low_c=model[1], high_c=model[2], limit=now.tuned.limit(Quantity.TEMPERATURE),
        room_c=None if read.room_c is None else float(np.nanmedian(read.room_c)),
        said=_settling(now) if settles else (), doubted=heat_doubted(now) if settles else "", foot=foot,
    )  # fmt: skip


def _settling(now: HeatNow) -> tuple[str, ...]:
    found = now.asked(HeatAsked())
    return () if found is None else short_titles(found)


def heat_foot(now: HeatNow) -> tuple[str, ...]:
    """What stands below a card: what is in no band first, as its end may be cut, then what was set."""
    was_set = log_words(now.heat, offset=now.tuned.offset)
    during = f"During the log, on this part alone: {was_set}." if was_set else ""
    return tuple(filter(None, (COMES_ON_TOP, during, "It holds at the fan's speed of the log.")))


def heat_doubted(now: HeatNow) -> str:
    """The first doubt in short, with how many more there are; "" without any."""
    if not now.doubts:
        return ""
    more = len(now.doubts) - 1
    first = doubt_words(now.doubts[0]).partition(":")[0].removesuffix(".")
    return f"To be doubted: {first[:1].lower()}{first[1:]}{f'; and {more} more' if more else ''}."


def _model(now: HeatNow, time_s: Floats) -> tuple[Floats, Floats, Floats]:
    """The network on the seconds of the readings; nan in rows that it was not fitted to."""
    assert now.fit is not None
    log = now.fit.log
    found = onward(now.fit, log)
    rows = np.searchsorted(time_s, log.time_s)
    drawn = []
    for values in (found.temperature_c, found.low_c, found.high_c):
        whole = np.full(time_s.shape, np.nan)
        whole[rows] = values
        drawn.append(whole)
    return drawn[0], drawn[1], drawn[2]
