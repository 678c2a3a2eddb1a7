"""Sensor logs of the Saltmarsh machines: clocks, temperatures, power and load, second by second."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.demo.fixed_point import decimals, joined
from evenhand.demo.truth import DUNLIN, PLOVER, Machine
from evenhand.folders.study_folder import LayoutEntry
from evenhand.records.layouts import Column, LogKind, Role

Floats = npt.NDArray[np.float64]

CLOCK_STEP_MHZ = 25.0
SETTLES_S = 45.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Strain:
    """What a run asks of a machine: load in % of processor and graphics, and the room in °C.

    From `falls_at_s` on, the processor clock is `falls_to_mhz`.
    """

    processor_pct: float
    graphics_pct: float
    room_c: float
    falls_at_s: float | None = None
    falls_to_mhz: float = 0.0


PLAY = (58.0, 97.0)
WORK = (98.0, 4.0)


def sensor_log(machine: Machine, strain: Strain, seconds: float, rng: np.random.Generator) -> bytes:
    """One run's readings, one a second for short runs and one every two seconds for long ones."""
    time_s = np.arange(0.0, seconds, 2.0 if seconds > 300 else 1.0)
    warm = 1.0 - np.exp(-time_s / SETTLES_S)
    readings = [
        *_part(
            machine.processor_mhz,
            machine.processor_c,
            machine.work_w * 0.6,
            strain.processor_pct,
            time_s,
            rng,
        ),
        *_part(
            machine.graphics_mhz, machine.graphics_c, machine.play_w * 0.6, strain.graphics_pct, time_s, rng
        ),
    ]
    readings[1] = strain.room_c + warm * (readings[1] - 24.0)
    readings[5] = strain.room_c + warm * (readings[5] - 24.0)
    if strain.falls_at_s is not None:
        fallen = time_s >= strain.falls_at_s
        readings[0] = np.where(fallen, readings[0] - machine.processor_mhz + strain.falls_to_mhz, readings[0])
        readings[1] = np.minimum(readings[1] + 6.0 * warm, 95.0)
    return _written(machine, time_s, readings)


def _part(
    clock_mhz: float, hot_c: float, power_w: float, load_pct: float, time_s: Floats, rng: np.random.Generator
) -> list[Floats]:
    """Clock, temperature when warm, power and load of one part; a part with little to do idles slowly."""
    n = time_s.size
    idle = load_pct < 20.0
    clock = (500.0 if idle else clock_mhz) + CLOCK_STEP_MHZ * rng.integers(-1, 2, n)
    temperature = (24.0 + 12.0 if idle else hot_c) + rng.normal(0.0, 0.4, n)
    load = np.clip(load_pct + rng.normal(0.0, 1.2, n), 0.0, 100.0)
    power = (0.12 if idle else 1.0) * power_w * (1 + rng.normal(0.0, 0.01, n))
    return [np.asarray(values, dtype=np.float64) for values in (clock, temperature, power, load)]


def _written(machine: Machine, time_s: Floats, readings: list[Floats]) -> bytes:
    """As the machine's own program writes it: Plover with decimal commas, Dunlin with clocks in GHz."""
    mark, gap, end = (b",", b";", b"\r\n") if machine.key == PLOVER else (b".", b",", b"\n")
    ghz = machine.key == DUNLIN
    pieces: list[npt.NDArray[np.uint8] | bytes] = [
        decimals(np.rint(time_s * 10).astype(np.int64), 1, mark=mark)
    ]
    for at, values in enumerate(readings):
        places = 3 if ghz and at % 4 == 0 else 0 if at % 4 == 0 else 1
        scale = 1 if at % 4 == 0 else 10
        pieces += [gap, decimals(np.rint(values * scale).astype(np.int64), places, mark=mark)]
    header = gap.decode().join(HEADERS[ghz])
    return f"{header}{end.decode()}".encode() + joined(*pieces, end)


def _headers(clock_unit: str) -> tuple[str, ...]:
    parts = ("processor", "graphics")
    shown = [(f"{p} clock [{clock_unit}]", f"{p} [°C]", f"{p} [W]", f"{p} load [%]") for p in parts]
    return ("seconds", *(header for part in shown for header in part))


HEADERS = {False: _headers("MHz"), True: _headers("GHz")}


def _layout(name: str, headers: tuple[str, ...], clock_unit: str) -> LayoutEntry:
    roles = ((Role.CLOCK, clock_unit), (Role.TEMPERATURE, "°C"), (Role.POWER, "W"), (Role.LOAD, "%"))
    columns = [Column(header=headers[0], role=Role.ELAPSED, unit="s")]
    for at, (role, unit) in enumerate(roles):
        for part, first in (("processor", 1), ("graphics", 5)):
            columns.append(Column(header=headers[first + at], role=role, unit=unit, about=part))
    return LayoutEntry(name=name, kind=LogKind.SENSORS, columns=tuple(columns))


LAYOUTS = (_layout("sensors, MHz", HEADERS[False], "MHz"), _layout("sensors, GHz", HEADERS[True], "GHz"))


def sensor_layout(machine: Machine) -> str:
    """The name of the layout of this machine's sensor logs."""
    return LAYOUTS[machine.key == DUNLIN].name
