"""The map on which a part is tuned: clocks and voltages by its steps, within the limits of its maker."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from enum import StrEnum

from evenhand.records.trials import Limit, Quantity, Trial, Tuned
from evenhand.tuning.evidence import failures_of
from evenhand.tuning.walk import Map

CLOCK_STEPS = 10
"""So many clock steps above stock a map reaches where the maker limits no clock."""

BELOW_STOCK = 0.3
"""So much of the stock voltage a map reaches below it: no part is known to hold there."""

ON_STEP = 1 / 20
"""So much of a step away is on it: firmware shows rounded numbers."""

MOST_POINTS = 1_000_000
"""More points no map has: firmware with a step of 1 MHz and 1 mV has some hundred thousand at the most."""

OFFSET_BELOW_MV = 350.0  # the same of offsets whose stock is not known


class NoMap(StrEnum):
    """Why there is nothing to walk on."""

    NO_LIMIT = "no limit of the maker's to the voltage is noted"
    NO_CLOCK_LIMIT = "no limit of the maker's to the clock is noted"
    NO_STOCK = "the voltage at stock is not noted"
    BELOW_STOCK = "the limit lies below stock"
    TOO_FINE = "the steps are so fine that the map has more points than a plan can go through"


def own_limit(tuned: Tuned) -> Limit | None:
    """The maker's limit of the voltage as this part's voltages are written: of an offset, less stock.

    None where there is none, or it cannot be held against offsets, since stock is not known. Of a part whose
    clock alone is tuned it is that of the clock.
    """
    if tuned.clock_alone:
        return tuned.limit(Quantity.CLOCK)
    limit = tuned.limit(Quantity.VOLTAGE)
    if limit is None or not tuned.offset:
        return limit
    if tuned.stock_voltage_mv is None:
        return None
    return replace(limit, most=limit.most - tuned.stock_voltage_mv)


def no_map(tuned: Tuned, trials: Sequence[Trial] = ()) -> NoMap | None:
    """Why a part has no map that is wide enough for what was tried."""
    found = _not_begun(tuned)
    return NoMap.TOO_FINE if found is None and _points(tuned, trials) > MOST_POINTS else found


def _not_begun(tuned: Tuned) -> NoMap | None:
    """Why there is nowhere to begin, or to end."""
    limit, stock = own_limit(tuned), stock_voltage(tuned)
    if limit is None:
        return NoMap.NO_CLOCK_LIMIT if tuned.clock_alone else NoMap.NO_LIMIT
    if stock is None:
        return NoMap.NO_STOCK
    clock = tuned.limit(Quantity.CLOCK)
    if tuned.clock_alone:
        return NoMap.BELOW_STOCK if limit.most < tuned.stock_clock_mhz else None
    low = limit.most < stock or (clock is not None and clock.most < tuned.stock_clock_mhz)
    return NoMap.BELOW_STOCK if low else None


def stock_voltage(tuned: Tuned) -> float | None:
    """Where stock lies on the map: an offset of 0, or the voltage as a whole."""
    return 0.0 if tuned.offset or tuned.clock_alone else tuned.stock_voltage_mv


def whole_mv(tuned: Tuned, voltage_mv: float) -> float:
    """A voltage as the part is fed with it, in mV: an offset with stock, where that is known."""
    return voltage_mv + (tuned.stock_voltage_mv or 0.0) if tuned.offset else voltage_mv


def map_of(tuned: Tuned, trials: Sequence[Trial]) -> Map:
    """The map of a part, wide enough for what was tried. Raises ValueError where it has none."""
    stock = stock_voltage(tuned)
    if stock is None or no_map(tuned, trials) is not None:
        raise ValueError("this part has no map")
    across, first_clock = _axis(tuned.stock_clock_mhz, tuned.clock_step_mhz, *_clock_ends(tuned, trials))
    if tuned.clock_alone:
        return Map(clocks_mhz=across, voltages_mv=(stock,), start=(first_clock, 0))
    up, first_voltage = _axis(stock, tuned.voltage_step_mv, *_voltage_ends(tuned, trials))
    return Map(clocks_mhz=across, voltages_mv=up, start=(first_clock, first_voltage))


def _points(tuned: Tuned, trials: Sequence[Trial]) -> float:
    """About how many points the map of a part has that lacks nothing; inf for steps of next to nothing."""
    slowest, fastest = _clock_ends(tuned, trials)
    across = (fastest - slowest) / tuned.clock_step_mhz + 1
    if tuned.clock_alone:
        return across
    lowest, highest = _voltage_ends(tuned, trials)
    return across * ((highest - lowest) / tuned.voltage_step_mv + 1)


def _clock_ends(tuned: Tuned, trials: Sequence[Trial]) -> tuple[float, float]:
    """From where to where a map goes along the clock, in MHz."""
    clocks = [tuned.stock_clock_mhz, *(trial.clock_mhz for trial in trials)]
    top = tuned.limit(Quantity.CLOCK)
    high = max(tuned.stock_clock_mhz + CLOCK_STEPS * tuned.clock_step_mhz, *clocks)
    return min(clocks), high if top is None else top.most


def _voltage_ends(tuned: Tuned, trials: Sequence[Trial]) -> tuple[float, float]:
    """The same along the voltage, in mV, of a part that has a limit and a stock of it."""
    limit, stock = own_limit(tuned), stock_voltage(tuned) or 0.0
    depth = BELOW_STOCK * tuned.stock_voltage_mv if tuned.stock_voltage_mv else OFFSET_BELOW_MV
    low = min(stock - depth, *(trial.voltage_mv for trial in trials), stock)
    return low, stock if limit is None else limit.most


def _axis(stock: float, step: float, low: float, high: float) -> tuple[tuple[float, ...], int]:
    """Steps from the lowest to the highest, stock being one of them, and which one it is."""
    down = max(math.ceil(round((stock - low) / step, 6)), 0)
    up = math.floor(round((high - stock) / step, 6))
    return tuple(round(stock + step * n, 6) for n in range(-down, up + 1)), down


def within(trials: Sequence[Trial], tuned: Tuned) -> tuple[Trial, ...]:
    """The trials that a map tells: of those with more voltage than is allowed only failures.

    What failed with more voltage fails with less; that it held there says nothing of what is allowed.
    """
    return tuple(
        trial
        for trial in trials
        if not _too_fast(trial, tuned) and (failures_of(trial) or not _too_high(trial, tuned))
    )


def is_past(trial: Trial, tuned: Tuned) -> bool:
    """Whether a trial lies past a limit of the maker's, as it is noted now."""
    return _too_high(trial, tuned) or _too_fast(trial, tuned)


def between_steps(trial: Trial, tuned: Tuned) -> bool:
    """Whether firmware with these steps offers no such clock, or no such voltage."""
    volts = None if tuned.clock_alone else stock_voltage(tuned)
    return _off_step(trial.clock_mhz - tuned.stock_clock_mhz, tuned.clock_step_mhz) or (
        volts is not None and _off_step(trial.voltage_mv - volts, tuned.voltage_step_mv)
    )


def _off_step(away: float, step: float) -> bool:
    steps = away / step
    return math.isfinite(steps) and abs(away - step * round(steps)) > ON_STEP * step + 1e-6


def _too_high(trial: Trial, tuned: Tuned) -> bool:
    limit = None if tuned.clock_alone else own_limit(tuned)
    return limit is not None and trial.voltage_mv > limit.most


def _too_fast(trial: Trial, tuned: Tuned) -> bool:
    clock = tuned.limit(Quantity.CLOCK)
    return clock is not None and trial.clock_mhz > clock.most
