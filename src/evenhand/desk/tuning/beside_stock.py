"""What is advised held against stock: how far from it, and what trials drew here and there."""

from __future__ import annotations

from collections.abc import Iterator
from statistics import fmean

from evenhand.desk.tuning.standing import TuningNow
from evenhand.publish.tuning.advice import target_words
from evenhand.publish.tuning.stock import (
    beside_stock,
    drew_words,
    stock_point,
    undervolted,
    why_above,
)
from evenhand.records.trials import Meter
from evenhand.tuning.advice import Advice


def against_stock(now: TuningNow, advice: Advice) -> str:
    """Where the advised point lies by stock and what trials there drew, in sentences; "" without advice."""
    stock = stock_point(now.series.tuned)
    if stock is None or advice.voltage_mv is None:
        return ""
    point = (advice.clock_mhz, advice.voltage_mv)
    said = [f"That is {beside_stock(point, stock)}.", above_stock(now, advice)]
    said += [drew_words(there, before, meter) for meter, there, before in drew(now, point, stock)]
    return " ".join(filter(None, said))


def above_stock(now: TuningNow, advice: Advice) -> str:
    """Why more voltage than stock's is advised at its clock, though stock never failed; "" elsewhere."""
    stock = stock_point(now.series.tuned)
    if stock is None or advice.voltage_mv is None or advice.clock_mhz != stock[0]:
        return ""
    return why_above(target_words(advice.goal)) if advice.voltage_mv > stock[1] else ""


def below_stock(now: TuningNow, clock_mhz: float, voltage_mv: float) -> str:
    """How far below stock an undervolted point lies, as it follows a point; "" for any other."""
    stock, point = stock_point(now.series.tuned), (clock_mhz, voltage_mv)
    if stock is None or not undervolted(point, stock):
        return ""
    return f", {beside_stock(point, stock)}"


def drew(
    now: TuningNow, point: tuple[float, float], stock: tuple[float, float]
) -> Iterator[tuple[Meter, float, float]]:
    """What trials at both points drew on average, in watts, by each meter that read both."""
    for meter in Meter:
        there, before = ([
            trial.watts for trial in now.series.trials
            if trial.watts is not None and trial.watts_at is meter
            and (trial.clock_mhz, trial.voltage_mv) == place
        ] for place in (point, stock))  # fmt: skip
        if there and before and point != stock:
            yield meter, fmean(there), fmean(before)
