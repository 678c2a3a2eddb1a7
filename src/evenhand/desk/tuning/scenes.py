"""What pictures show of one series of trials: the map, and the hours behind a claim."""

from __future__ import annotations

from dataclasses import replace

from evenhand.desk.tuning.standing import AtPoint, TuningNow
from evenhand.publish.figures.claim_bar import ClaimBar
from evenhand.publish.figures.tuning_map import TuningMap
from evenhand.publish.tuning_stock import stock_point
from evenhand.tuning.mapping import own_limit


def map_scene(now: TuningNow) -> TuningMap:
    """What the map shows of a series."""
    tuned = now.series.tuned
    odd = [trial for order in now.order for trial in (*order.failed, *order.held)]
    return TuningMap(
        setup=tuned.setup, part=tuned.part, load=now.series.load or "no load yet", trials=now.series.trials,
        advice=now.advice, limit=own_limit(tuned), next=now.next, offset=tuned.offset,
        clock_alone=tuned.clock_alone, stock=stock_point(tuned),
        against=frozenset((trial.clock_mhz, trial.voltage_mv) for trial in odd),
    )  # fmt: skip


def map_for_readers(now: TuningNow) -> TuningMap:
    """The same as it goes out: what comes next is told to nobody who might try it."""
    return replace(map_scene(now), next=None)


def claim_scene(now: TuningNow) -> ClaimBar | None:
    """The hours at the point whose claim is shown; None without any."""
    at = claimed_point(now)
    if at is None:
        return None
    tuned = now.series.tuned
    return ClaimBar(
        setup=tuned.setup, part=tuned.part, load=now.series.load, clock_mhz=at.clock_mhz,
        voltage_mv=at.voltage_mv, trials=at.trials, offset=tuned.offset,
    )  # fmt: skip


def claimed_point(now: TuningNow) -> AtPoint | None:
    """The advised point where it has hours, else the one with the most hours that held; None without any."""
    wanted = now.wanted.at if now.wanted else None
    if wanted is not None and wanted.claim.hours > 0:
        return wanted
    held = [point for point in now.points if not point.claim.failures and point.claim.hours > 0]
    return max(held, key=lambda point: (point.claim.hours, point.clock_mhz), default=None)
