"""Which columns of a log are sensor readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from evenhand.records.layouts import Column, Role
from evenhand.traces.column_units import QUANTITIES
from evenhand.traces.evidence import Evidence
from evenhand.traces.proposed_clocks import TIME_UNITS, counts_since_1970, reading_unit
from evenhand.traces.proposed_times import TIMING_WORDS, Timing, clock_column
from evenhand.traces.proposing import Proposed, about_of, header_says, unused
from evenhand.units import OWN_UNITS

SENSOR_WORDS: dict[Role, frozenset[str]] = {
    Role.TEMPERATURE: frozenset({"temp", "temperature", "temperatures"}),
    Role.POWER: frozenset({"power", "watt", "watts"}),
    Role.FAN: frozenset({"fan", "pump", "rpm"}),
    Role.VOLTAGE: frozenset({"voltage", "volt", "volts"}),
    Role.LOAD: frozenset({"load", "utilization", "utilisation", "usage", "busy"}),
    Role.CLOCK: frozenset({"clock", "clocks", "frequency", "freq"}),
    Role.MEMORY: frozenset({"memory", "ram", "vram"}),
}
_BY_QUANTITY = {quantity: role for role, quantity in QUANTITIES.items() if role in SENSOR_WORDS}


def sensor_role(seen: Evidence) -> Role | None:
    """The role of a sensor column by its unit, else by the words of its header; None for anything else."""
    if not seen.is_numeric:
        return None
    by_words = next((role for role, words in SENSOR_WORDS.items() if seen.words & words), None)
    if seen.unit is None:
        return by_words
    by_unit = _BY_QUANTITY.get(seen.unit.quantity)
    if by_unit is Role.LOAD and by_words in (Role.FAN, Role.MEMORY):
        return by_words
    return by_unit


def propose_sensors(columns: Sequence[Evidence], timing: Timing) -> list[Proposed]:
    """Every column of a sensor log."""
    if timing.clock is not None:
        timing = replace(timing, clock_unit=_clock_unit(timing.clock))
    return [_sensor_column(c, timing) for c in columns]


def _dated(seen: Evidence) -> Proposed:
    """A count since 1970 tells when the readings began, which frames are joined by."""
    reason = f"{header_says(seen, TIMING_WORDS)}; never falls, a count since 1970"
    sure = bool(seen.words & TIMING_WORDS)
    return Proposed(column=Column(header=seen.header, role=Role.TIMESTAMP), reason=reason, sure=sure)


def _clock_unit(clock: Evidence) -> str:
    """By the header, by its date where it counts since 1970, else by its step."""
    dated = [u for u in TIME_UNITS if clock.unit is None and counts_since_1970(clock, u)]
    return dated[0] if dated else reading_unit(clock)


def _sensor_column(seen: Evidence, timing: Timing) -> Proposed:
    if seen is timing.stamp:
        zone = "the zone, if they name none, is for you to give"
        column = Column(header=seen.header, role=Role.TIMESTAMP)
        return Proposed(column=column, reason=f"fields look like dates or times of day; {zone}")
    if seen is timing.clock:
        return _dated(seen) if counts_since_1970(seen, timing.clock_unit) else clock_column(seen, timing)
    role = sensor_role(seen)
    if role is None:
        return unused(seen, f"{header_says(seen, ())}; no reading that is known")
    words = SENSOR_WORDS[role]
    own = OWN_UNITS[QUANTITIES[role]]
    unit = seen.unit.symbol if seen.unit is not None else own
    assumed = "" if seen.unit is not None else f", no unit given: read as {own}"
    column = Column(header=seen.header, role=role, unit=unit, about=about_of(seen, words))
    reason = f"{header_says(seen, words)}; {seen.span}{assumed}"
    bare_rate = unit == "Hz" and not seen.words & words  # a rate of frames is given in Hz too
    return Proposed(column=column, reason=reason, sure=seen.unit is not None and not bare_rate)
