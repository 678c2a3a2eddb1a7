"""How much hotter tuning makes a part than stock: where both settle, else in trials of equal times."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from statistics import fmean
from typing import TypeAlias

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.asking_watts import watts_of_study
from evenhand.desk.tuning.cooled import cooled_of
from evenhand.desk.tuning.of_study import now_of
from evenhand.desk.tuning.scenes import claimed_point
from evenhand.desk.tuning.series import series_of
from evenhand.desk.tuning.standing import TuningNow
from evenhand.publish.tuning import costs
from evenhand.publish.tuning.stock import stock_point
from evenhand.publish.tuning.words import point_words
from evenhand.records.trials import Trial
from evenhand.store.workbench import Workbench

Place: TypeAlias = tuple[float, float]
"""Clock and voltage as they are written."""

ALIKE = 1.1
"""Trials whose times differ by no more than this ratio are of equal times: ten minutes end by the minute."""


def heat_of_tuning(
    wb: Workbench, record: StudyOnRecord, setup: str, parts: Sequence[str]
) -> Iterator[str]:  # fmt: skip
    """Of each tuned part how warm it gets at stock and at the point whose hours are claimed, as a sentence.

    Where a log of temperatures and a law of watts tell both it is where they settle, else what trials of
    equal times read; unlike times tell nothing, and that is said.
    """
    for part in parts:
        now = now_of(record, series_of(wb, setup, part)[0])
        stock, at = stock_point(now.series.tuned), claimed_point(now)
        if stock is None or at is None or (at.clock_mhz, at.voltage_mv) == stock:
            continue
        there = (at.clock_mhz, at.voltage_mv)
        called = tuple(point_words(*each, offset=now.series.tuned.offset) for each in (stock, there))
        settled = _settled(wb, record, now)
        if stock in settled and there in settled:
            above = (settled[stock], settled[there])
            yield costs.settled_heat_words(part, (called[0], called[1]), above)
        else:
            yield from _by_trials(now, (stock, there), (called[0], called[1]))


def _settled(wb: Workbench, record: StudyOnRecord, now: TuningNow) -> Mapping[Place, float]:
    """How far above the room stock and the advised point settle, in kelvins, where both are told."""
    cooled, by = cooled_of(wb, now.series.tuned, room_c=now.room_c)
    if cooled is None:
        return {}
    return {
        (each.clock_mhz, each.voltage_mv): cooled.c_per_w.value * each.watts.value
        for meter in watts_of_study(wb, record, now).meters if meter.metered.meter is by
        for each in meter.at
    }  # fmt: skip


def _by_trials(now: TuningNow, points: tuple[Place, Place], called: tuple[str, str]) -> Iterator[str]:
    """What the longest trials of equal times read; that they are unlike where none are equal."""
    stock, there = (_read(now.series.trials, point) for point in points)
    part, load = now.series.tuned.part, now.series.load
    alike = [a for a, _ in stock if _near(a, there)]
    if alike:
        hours = max(alike)
        warm = [fmean(above for each, above in own if _equal(each, hours)) for own in (stock, there)]
        yield costs.trial_heat_words(part, load, called, (warm[0], warm[1]), hours)
    elif stock and there:
        longest = (max(hours for hours, _ in stock), max(hours for hours, _ in there))
        yield costs.unlike_heat_words(part, load, called, longest)


def _read(trials: Sequence[Trial], point: Place) -> list[tuple[float, float]]:
    """Hours, and kelvins above the room, of the trials at a point that read both."""
    return [
        (each.hours, each.hottest_c - each.room_c) for each in trials
        if (each.clock_mhz, each.voltage_mv) == point
        and each.hottest_c is not None and each.room_c is not None and each.hours > 0
    ]  # fmt: skip


def _near(hours: float, read: Sequence[tuple[float, float]]) -> bool:
    return any(_equal(hours, each) for each, _ in read)


def _equal(a: float, b: float) -> bool:
    return max(a, b) <= ALIKE * min(a, b)
