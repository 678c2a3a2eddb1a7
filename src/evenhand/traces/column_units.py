"""What unit a column is in: what the layout says, else its header, else the usual one, and said so."""

from __future__ import annotations

from evenhand.errors import BadRecord
from evenhand.records.layouts import Column, Role
from evenhand.traces.flaws import ASSUMED_UNIT, FlawNotes
from evenhand.traces.tables import Floats
from evenhand.units import OWN_UNITS, Unit, unit, unit_in_header

QUANTITIES = {
    Role.FRAME_TIME: "time",
    Role.ELAPSED: "time",
    Role.PROCESSOR_SHARE: "time",
    Role.GRAPHICS_SHARE: "time",
    Role.CLOCK: "clock",
    Role.TEMPERATURE: "temperature",
    Role.POWER: "power",
    Role.LOAD: "load",
    Role.FAN: "turning",
    Role.MEMORY: "memory",
    Role.VOLTAGE: "voltage",
}
# A fan or a memory may also be told as a share of its most.
ALSO = {Role.FAN: "load", Role.MEMORY: "load"}


def unit_of(column: Column, *, assumed: str, notes: FlawNotes) -> Unit:
    """The unit of a column's numbers.

    Raises BadRecord where the layout gives a unit that does not measure what the column's role says.

    >>> unit_of(Column(header="t [us]", role=Role.ELAPSED), assumed="s", notes=FlawNotes()).symbol
    'us'
    """
    fitting = {QUANTITIES[column.role], ALSO.get(column.role, "")}
    if column.unit:
        given = unit(column.unit)
        if given.quantity not in fitting:
            raise BadRecord(
                f"'{column.unit}' is a unit of {given.quantity}, not of {column.role.value}",
                where=f"column '{column.header}'",
                todo=f"give a unit of {QUANTITIES[column.role]}",
            )
        return given
    written = unit_in_header(column.header)
    if written is not None and written.quantity in fitting:
        return written
    notes.say(ASSUMED_UNIT, f"column '{column.header}' gives no unit: read as {assumed}")
    return unit(assumed)


def in_unit(values: Floats, column: Column, *, per_unit: float, assumed: str, notes: FlawNotes) -> Floats:
    """A column's numbers in the own unit times `per_unit` (1e3 turns s into ms)."""
    given = unit_of(column, assumed=assumed, notes=notes)
    factor = given.factor * per_unit
    if factor == 1.0 and given.offset == 0.0:
        return values
    return values * factor + given.offset * per_unit


def own_unit(column: Column, notes: FlawNotes) -> str:
    """The symbol a sensor's readings have after `in_unit` with `per_unit` 1."""
    return OWN_UNITS[unit_of(column, assumed=OWN_UNITS[QUANTITIES[column.role]], notes=notes).quantity]
