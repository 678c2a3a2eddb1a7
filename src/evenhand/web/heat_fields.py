"""Forms of temperature logs: what if, which log is brought, which column is what; read field by field."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends, Query
from starlette.datastructures import FormData

from evenhand.desk.pages.tuning_heat import HeatLooked
from evenhand.desk.tuning.heat_columns import HeatFile, guessed_columns, guessed_meter
from evenhand.desk.typed_numbers import decimal
from evenhand.records.heat import HEAT_COLUMNS
from evenhand.records.trials import Meter
from evenhand.tuning.heat_outlook import HeatAsked
from evenhand.web.forms import Form, Reader, Reading

Values = Mapping[str, str | tuple[str, ...]]
Typed = Annotated[str, Query(max_length=100)]

METERS = tuple((each.value, f"At the {each.value}", each.meaning) for each in reversed(Meter))

WHAT_IF, BRING, COLUMNS, BACK = "what-if", "heat-log", "heat-columns", "back-heat-"

BOUNDS: Mapping[str, tuple[float, float, str]] = {
    "room": (-40.0, 60.0, "a room between −40 and 60 °C"), "watts": (0.0, 5000.0, "watts from 0 to 5,000"),
    "cooler": (0.001, 20.0, "°C per watt above 0, as in 0.15"), "off": (0.0, 20.0, "°C per watt, 0 or more"),
}  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatQuery:
    """What an address asks about temperature logs: which log, what if, and which file is to be noted."""

    log: Annotated[int | None, Query(ge=1, le=2**62)] = None
    room: Typed = ""
    watts: Typed = ""
    cooler: Typed = ""
    off: Typed = ""
    file: Annotated[str, Query(pattern="^([0-9a-f]{64})?$")] = ""
    run: Typed = ""

    @property
    def looked(self) -> HeatLooked:
        """What the page is to tell; what cannot be read is not asked."""
        read = {name: value for name in BOUNDS if (value := self._number(name)) is not None}
        cooler = read.get("cooler")
        asked = HeatAsked(
            room_c=read.get("room"), watts=read.get("watts"), cooler_c_per_w=cooler,
            cooler_off=0.0 if cooler is None else read.get("off", 0.0),
        )  # fmt: skip
        return HeatLooked(log=self.log, asked=asked)

    @property
    def asks(self) -> bool:
        """Whether anything was typed into the fields."""
        return any(getattr(self, name).strip() for name in BOUNDS)

    @property
    def form(self) -> Form:
        """What stands in the fields, and what of it cannot be used."""
        values = {name: getattr(self, name) for name in BOUNDS}
        errors = {
            name: f"\u2018{text}\u2019 cannot be used; write {BOUNDS[name][2]}."
            for name, text in values.items()
            if text.strip() and self._number(name) is None
        }
        if self.off.strip() and not self.cooler.strip():
            errors.setdefault("off", "This is of the other cooler: write its °C per watt too.")
        return Form(name=WHAT_IF, values=values, errors=errors)

    def _number(self, name: str) -> float | None:
        value = decimal(getattr(self, name).strip())
        least, most, _ = BOUNDS[name]
        return value if value is not None and least <= value <= most else None


HeatView = Annotated[HeatQuery, Depends()]


def column_values(file: HeatFile, part: str, room_c: float | None) -> Values:
    """The columns as they are guessed, and the room as a run has it where no column does."""
    columns = guessed_columns(file.layout, part)
    if room_c is not None and not columns["room"]:
        columns["room_c"] = f"{room_c:g}"
    return {**columns, "watts_at": guessed_meter(file.layout, columns["watts"]).value}


def read_heat(sent: FormData, setup: str, part: str) -> Reading:
    """What was typed of a log."""
    reader = Reader(sent)
    columns = {name: reader.text(name) for name in HEAT_COLUMNS}
    return reader.done(
        setup=setup, part=part, **columns, watts_at=reader.words("watts_at"),
        room_c=reader.number("room_c", "°C"),
        from_s=reader.number("from_s", "s"), to_s=reader.number("to_s", "s"),
        clock_mhz=reader.number("clock_mhz", "MHz"), voltage_mv=reader.number("voltage_mv", "mV"),
        settings=reader.rows("settings"), note=reader.text("note"),
    )  # fmt: skip
