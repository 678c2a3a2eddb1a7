"""Rows of temperature logs: which logs there are, the stages of a network, the speeds of a fan."""

from __future__ import annotations

import math
from collections.abc import Iterable

from evenhand.desk.tuning.heat import HeatNow
from evenhand.publish.dates import day_words
from evenhand.publish.numbers import number, with_unit
from evenhand.publish.tuning.bands import banded, degrees, ends, kelvins, time_banded
from evenhand.publish.tuning.heat import doubt_words
from evenhand.publish.tuning.heat_logs import otherwise_words, rest_words, settled_words, tells_words
from evenhand.publish.tuning.words import clock_words, setting_words, voltage_words
from evenhand.records.heat import LoggedHeat
from evenhand.store import heat as heat_store
from evenhand.store import originals
from evenhand.store.workbench import Workbench
from evenhand.tuning.bands import Band
from evenhand.tuning.heat_doubts import Doubt
from evenhand.tuning.heat_outlook import as_known
from evenhand.tuning.network_fit import Fit

ORDER = ("quicker", "slower")


def heat_ever(wb: Workbench, setup: str, part: str) -> tuple[tuple[LoggedHeat, ...], dict[int, str]]:
    """Every temperature log of a part there ever was, and why some were taken back, by their numbers."""
    every = heat_store.heat_of(wb, [setup], ever=True)
    return tuple(each for each in every if each.part == part), heat_store.reasons(wb)


def log_names(wb: Workbench, logs: Iterable[LoggedHeat]) -> dict[str, str]:
    """What the files of logs were called when they came, by their hashes."""
    return {each.log: (*originals.names(wb, each.log), "")[0] for each in logs}


def log_words(heat: LoggedHeat, *, offset: bool = False) -> str:
    """What was set during a log, its room and its day, as far as it is on record."""
    said = [clock_words(heat.clock_mhz)] if heat.clock_mhz is not None else []
    said += [voltage_words(heat.voltage_mv, offset=offset)] if heat.voltage_mv is not None else []
    said += setting_words(heat.settings)
    said += [f"room {degrees(heat.room_c, 1)}"] if heat.room_c is not None else []
    said += [day_words(heat.at.date())] if heat.at is not None else []
    return ", ".join(said)


def stage_rows(fit: Fit, watts: float) -> list[tuple[str, ...]]:
    """Each stage with its time constant, its °C/W and what these make of a power; then all of them."""
    rows: list[tuple[str, ...]] = []
    pairs = zip(fit.seconds_bands(), [as_known(fit, each) for each in fit.c_per_w_bands()], strict=True)
    whole = as_known(fit, fit.whole())
    for at, (seconds, each) in enumerate(pairs):
        name = ORDER[at] if fit.stages > 1 else "the only one"
        rows.append((name, time_banded(seconds), banded(each, "°C/W", 3), _warms(each, watts)))
    if fit.stages > 1:
        rows.append(("both", "", banded(whole, "°C/W", 3), _warms(whole, watts)))
    return rows


def _warms(c_per_w: Band, watts: float) -> str:
    band = Band(value=watts * c_per_w.value, low=watts * c_per_w.low, high=watts * c_per_w.high)
    between = ends(band, 1) if math.isfinite(band.high) else ""
    return kelvins(band.value, 1) + (f" ({between})" if between else "")


def beside_said(now: HeatNow) -> tuple[str, ...]:
    """Which log tells °C per watt and time, and where later ones settled that are passed over for it."""
    if not now.later:
        return ()
    own = now.heat.id
    found = (settled_words(each.number, own, each.settled) for each in now.later if each.settled is not None)
    return tells_words(own), *found


def heat_doubt_said(doubt: Doubt, now: HeatNow) -> str:
    """One doubt of a log; that of its rest, and of an earlier log, with figures."""
    said = doubt_words(doubt)
    if doubt is Doubt.EARLIER_DIFFERS and now.earlier is not None:
        number_of, found = now.earlier
        return f"{said} {otherwise_words(number_of, now.heat.id, found)}"
    return f"{said} {rest_words(now.rest)}" if doubt is Doubt.REST_DIFFERS and now.rest is not None else said


def fan_rows(now: HeatNow) -> list[tuple[str, ...]]:
    """°C/W in all at each speed of the fan."""
    return [
        (with_unit(number(fan), "rpm"), banded(fit.whole(), "°C/W", 3)) for fan, fit in now.by_fan.items()
    ]
