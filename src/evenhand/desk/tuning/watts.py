"""What a tuned part draws by its trials, and at which clock it does the most work for a joule."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from evenhand.desk.tuning.elastic import IN_STEP, Elasticity
from evenhand.desk.tuning.standing import TuningNow
from evenhand.publish.tuning.stock import stock_point
from evenhand.records.trials import Meter, Tuned
from evenhand.tuning.advice import Advice
from evenhand.tuning.bands import Band
from evenhand.tuning.efficiency import (
    Along,
    Clocks,
    Cooled,
    Efficient,
    along,
    most_per_joule,
    settled_c,
)
from evenhand.tuning.mapping import stock_voltage
from evenhand.tuning.metered import Metered, metered, whole_v
from evenhand.tuning.watts import Drawn

SEED = 14  # of the draws behind bands: the same trials give the same bands


class NoPoint(StrEnum):
    """Why no clock is named as the one with the most work for a joule."""

    NO_STOCK = "the voltage at stock is not noted"
    NO_ADVICE = "no clock has an advised voltage"


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """What a part draws at one point: in all, and of that what switching takes; the rest leaks or rests.

    `temperature_c` is how warm it is taken to be there; None where its trials do not tell.
    """

    clock_mhz: float
    voltage_mv: float
    watts: Band
    switching: Band
    temperature_c: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """The law along `points` (clock, voltage as written), from left to right, over stock.

    They are the clocks with their advised voltages; of a clock that is alone, its voltages that were tried.
    """

    points: tuple[tuple[float, float], ...]
    along: Along


@dataclass(frozen=True, slots=True, kw_only=True)
class BestClock:
    """The clock with the most work per joule, its advised voltage, and stock, which it is held against.

    `clocks` counts those with an advised voltage, among which it is; `end` says that it is the "lowest" or
    "highest" of several. `line` is the law that tells so.
    """

    efficient: Efficient
    voltage_mv: float
    stock: Share
    here: Share
    elasticity: Elasticity
    cooled: bool
    line: Line
    clocks: int = 1
    end: str = ""

    @property
    def same_clock(self) -> bool:
        """Whether stock's clock alone is advised, so that only the voltage differs, and work does not."""
        return self.clocks == 1 and self.here.clock_mhz == self.stock.clock_mhz


@dataclass(frozen=True, slots=True, kw_only=True)
class OfMeter:
    """What the trials of one meter tell. `at` is stock and the wanted clock at its advised voltage."""

    metered: Metered
    at: tuple[Share, ...] = ()
    best: BestClock | None = None
    lacks: NoPoint | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class WattsNow:
    """What is known of watts: one entry for each meter that was read, those with a law first."""

    tuned: Tuned
    meters: tuple[OfMeter, ...]


def watts_now(
    now: TuningNow, *, elasticity: Elasticity = IN_STEP, cooled: Cooled | None = None,
    cooled_by: Meter | None = None,
) -> WattsNow:  # fmt: skip
    """What the watts of a series tell. `cooled` holds for watts that were read where `cooled_by` says."""
    tuned = now.series.tuned
    found = sorted(metered(tuned, now.series.trials), key=lambda each: each.power is None)
    return WattsNow(
        tuned=tuned,
        meters=tuple(
            _of_meter(now, each, elasticity, cooled if each.meter is cooled_by else None) for each in found
        ),
    )


def _of_meter(now: TuningNow, read: Metered, elasticity: Elasticity, cooled: Cooled | None) -> OfMeter:
    power, tuned = read.power, now.series.tuned
    if power is None:
        return OfMeter(metered=read)
    at = tuple(_share(read, tuned, point, cooled) for point in _told_points(now))
    advised = [advice for advice in now.advice if advice.voltage_mv is not None]
    if tuned.stock_voltage_mv is None:
        return OfMeter(metered=read, at=at, lacks=NoPoint.NO_STOCK)
    if not advised:
        return OfMeter(metered=read, at=at, lacks=NoPoint.NO_ADVICE)
    return OfMeter(metered=read, at=at, best=_best(read, tuned, advised, elasticity, cooled))


def _told_points(now: TuningNow) -> list[tuple[float, float]]:
    """Stock, and the wanted clock at its advised voltage, as voltages are written."""
    tuned, wanted = now.series.tuned, now.wanted.advice if now.wanted else None
    stock = stock_point(tuned)
    found = [] if stock is None else [stock]
    if wanted is not None and wanted.voltage_mv is not None:
        found.append((wanted.clock_mhz, wanted.voltage_mv))
    return list(dict.fromkeys(found))


def _share(read: Metered, tuned: Tuned, point: tuple[float, float], cooled: Cooled | None) -> Share:
    """What a part draws at a point: as warm as it gets there, else at the middle of what was measured."""
    power, (clock, voltage) = law_of(read), point
    volts = whole_v(tuned, voltage)
    at = Clocks(clock_mhz=np.array([clock]), voltage_v=np.array([volts]))
    warm = power.middle_c if cooled is None else float(settled_c(power, cooled, at)[0])
    if not (read.warm and math.isfinite(warm)):
        warm = power.middle_c
    return Share(
        clock_mhz=clock, voltage_mv=voltage, watts=power.at(volts, clock, warm),
        switching=power.switching_at(volts, clock, warm), temperature_c=warm if read.warm else None,
    )  # fmt: skip


def law_of(read: Metered) -> Drawn:
    """The law of a meter that has one."""
    assert read.power is not None
    return read.power


def _best(
    read: Metered, tuned: Tuned, advised: Sequence[Advice], elasticity: Elasticity, cooled: Cooled | None
) -> BestClock:
    at = _clocks(tuned, advised)
    stock_mv = stock_voltage(tuned) or 0.0
    found = most_per_joule(
        law_of(read), at, tuned.stock_clock_mhz, elasticity.known, np.random.default_rng(SEED),
        stock_v=whole_v(tuned, stock_mv), between=False, cooled=cooled,
    )  # fmt: skip
    nearest = min(advised, key=lambda each: abs(each.clock_mhz - found.clock_mhz.value))
    voltage = nearest.voltage_mv or 0.0
    return BestClock(
        efficient=found, voltage_mv=voltage, elasticity=elasticity, cooled=cooled is not None,
        stock=_share(read, tuned, (tuned.stock_clock_mhz, stock_mv), cooled),
        here=_share(read, tuned, (nearest.clock_mhz, voltage), cooled),
        clocks=len(advised), end=_end(found, advised),
        line=_line(read, tuned, _along(read, tuned, advised), elasticity, cooled),
    )  # fmt: skip


def _along(read: Metered, tuned: Tuned, advised: Sequence[Advice]) -> tuple[tuple[float, float], ...]:
    """The points of the law's line: clocks as advised, or the voltages of the only one that is."""
    points = {(each.clock_mhz, each.voltage_mv or 0.0) for each in advised}
    if len(advised) == 1:
        clock = advised[0].clock_mhz
        tried = [(trial.clock_mhz, trial.voltage_mv) for trial in read.trials]
        tried += [(tuned.stock_clock_mhz, stock_voltage(tuned) or 0.0)]
        points |= {point for point in tried if point[0] == clock}
    return tuple(sorted(points))


def _line(
    read: Metered, tuned: Tuned, points: tuple[tuple[float, float], ...], elasticity: Elasticity,
    cooled: Cooled | None,
) -> Line:  # fmt: skip
    at = Clocks(
        clock_mhz=np.array([clock for clock, _ in points]),
        voltage_v=np.array([whole_v(tuned, voltage) for _, voltage in points]),
    )
    stock = (tuned.stock_clock_mhz, whole_v(tuned, stock_voltage(tuned) or 0.0))
    rng = np.random.default_rng(SEED)
    return Line(points=points, along=along(law_of(read), at, stock, elasticity.known, rng, cooled=cooled))


def _end(found: Efficient, advised: Sequence[Advice]) -> str:
    if not found.at_an_end or len(advised) == 1:
        return ""
    return "lowest" if found.clock_mhz.value <= min(each.clock_mhz for each in advised) else "highest"


def _clocks(tuned: Tuned, advised: Sequence[Advice]) -> Clocks:
    return Clocks(
        clock_mhz=np.array([each.clock_mhz for each in advised]),
        voltage_v=np.array([whole_v(tuned, each.voltage_mv or 0.0) for each in advised]),
    )
