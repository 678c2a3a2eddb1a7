"""What pictures show of one series of trials: the map, and the hours behind a claim."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from evenhand.desk.tuning.standing import AtPoint, TuningNow
from evenhand.publish.figures.tuning.claim_bar import ClaimBar
from evenhand.publish.figures.tuning.scene import TuningMap
from evenhand.publish.tuning.stock import stock_point
from evenhand.records.trials import Quantity
from evenhand.tuning.claims import asks_no_more
from evenhand.tuning.doubts import stock_failed
from evenhand.tuning.mapping import is_past, own_limit, stock_voltage

WORTH_TELLING_H = 1.0
"""From so many hours on a claim is told of a point that is not the advised one."""


def map_scene(now: TuningNow) -> TuningMap:
    """What the map shows of a series."""
    tuned = now.series.tuned
    odd = [trial for order in now.order for trial in (*order.failed, *order.held)]
    return TuningMap(
        setup=tuned.setup, part=tuned.part, load=now.series.load or "no load yet", trials=now.series.trials,
        advice=now.advice, limit=own_limit(tuned), next=now.next, offset=tuned.offset,
        clock_alone=tuned.clock_alone, stock=stock_point(tuned), clock_limit=tuned.limit(Quantity.CLOCK),
        step=tuned.clock_step_mhz if tuned.clock_alone else tuned.voltage_step_mv,
        step_from=tuned.stock_clock_mhz if tuned.clock_alone else stock_voltage(tuned) or 0.0,
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
        voltage_mv=at.voltage_mv, trials=at.trials, offset=tuned.offset, against=at.claim.against,
    )  # fmt: skip


def claimed_point(now: TuningNow) -> AtPoint | None:
    """The point by which a part is spoken of; None without any.

    It is the advised one where it has hours, else the one with the most of them, or stock where that
    is less than an hour and stock ran. What lies past a limit is never it, and nothing is once stock failed;
    nor is what held where something failed that asks no more of the part: that one is it, failures and all.
    """
    wanted = now.wanted.at if now.wanted else None
    if wanted is not None and wanted.claim.hours > 0:
        return wanted
    stock = stock_point(now.series.tuned)
    ran = [point for point in now.points if point.claim.hours > 0 and not _past(now, point)]
    own = next((each for each in ran if (each.clock_mhz, each.voltage_mv) == stock), None)
    if stock_failed(now.series.tuned, now.series.trials):
        return None
    most = max(_telling(ran), key=lambda point: (point.claim.hours, -point.clock_mhz), default=None)
    if own is None or (most is not None and most.claim.hours >= WORTH_TELLING_H):
        return most
    return own


def _telling(ran: Sequence[AtPoint]) -> Iterator[AtPoint]:
    """Points that held with nothing against them; long ones that failed where none such asks no more."""
    held = [each for each in ran if not each.claim.failures and each.claim.against is None]
    yield from held
    long = [_place(each) for each in held if each.claim.hours >= WORTH_TELLING_H]
    for each in ran:
        failed = each.claim.failures and each.claim.hours >= WORTH_TELLING_H
        if failed and not any(asks_no_more(other, _place(each)) for other in long):
            yield each


def _place(point: AtPoint) -> tuple[float, float]:
    return point.clock_mhz, point.voltage_mv


def _past(now: TuningNow, point: AtPoint) -> bool:
    """Whether a point lies past a limit of the maker's, of its clock, voltage, temperature or power."""
    if any(is_past(trial, now.series.tuned) for trial in point.trials):
        return True
    return now.bearing.past(point.clock_mhz, point.voltage_mv) is not None
