"""The temperature log of Plover's processor: rest, load, half of it, rest, of the network of its trials."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import numpy as np

from evenhand.demo.fixed_point import Text, Whole, decimals, joined
from evenhand.demo.trials import DRAWS, NETWORK, REST_W, TUNED, warmest_c
from evenhand.folders.study_folder import HeatEntry, LayoutEntry
from evenhand.records.heat import HeatColumns, LoggedHeat
from evenhand.records.layouts import Column, LogKind, Role
from evenhand.stats.spread import Floats
from evenhand.tuning.heat_log import heat_log
from evenhand.tuning.network import course

CLOCK_MHZ, IDLE_MHZ, VOLTAGE_MV = 4650.0, 900.0, 1245.0
ROOM_C = 23.4
LOAD_W = round(DRAWS.watts(CLOCK_MHZ, VOLTAGE_MV, warmest_c(CLOCK_MHZ, VOLTAGE_MV, ROOM_C, 1.0)), 1)
"""What its trials draw at the same clock and voltage."""

PARTS = ((420.0, 0.0), (2880.0, 1.0), (3540.0, 0.5), (4200.0, 0.0))
"""Until which second, and at which share between rest and load."""

STEP_S = 2.0
NOISE_C, WANDERS = 0.5, 0.015  # of a reading, and of the watts as a share
FAN_RPM = 1450.0

FILE = "heat/plover-processor.csv"
TIME, WARM, DRAWN, ROOM, FAN, CLOCK = _HEADERS = (
    "seconds", "processor [°C]", "processor [W]", "air intake [°C]", "processor fan [rpm]",
    "processor clock [MHz]",
)  # fmt: skip

LAYOUT = LayoutEntry(
    name="heat", kind=LogKind.SENSORS,
    columns=(
        Column(header=TIME, role=Role.ELAPSED, unit="s"),
        Column(header=CLOCK, role=Role.CLOCK, unit="MHz", about="processor"),
        Column(header=WARM, role=Role.TEMPERATURE, unit="°C", about="processor"),
        Column(header=ROOM, role=Role.TEMPERATURE, unit="°C", about="air intake"),
        Column(header=DRAWN, role=Role.POWER, unit="W", about="processor"),
        Column(header=FAN, role=Role.FAN, unit="rpm", about="processor fan"),
    ),
)  # fmt: skip

HEAT = LoggedHeat(
    setup=TUNED.setup, part=TUNED.part, log="", layout="",
    columns=HeatColumns(temperature=WARM, watts=DRAWN, room=ROOM, fan=FAN, clock=CLOCK),
    clock_mhz=CLOCK_MHZ, voltage_mv=VOLTAGE_MV, settings={"fan": "fixed at 1,450 rpm"},
    at=datetime(2026, 11, 18, 19, 40, tzinfo=timezone(timedelta(hours=1))),
    note="side panel on, integers on every core, then on half of them",
)  # fmt: skip
ENTRY = HeatEntry(file=FILE, heat=HEAT, layout=LAYOUT.name)


def heat_file(seed: int) -> bytes:
    """The log as a program writes it, a row every two seconds.

    >>> heat_file(1).decode().splitlines()[0]
    'seconds,processor [°C],processor [W],air intake [°C],processor fan [rpm],processor clock [MHz]'
    """
    rng = np.random.default_rng([seed, 19])
    seconds = np.arange(0.0, PARTS[-1][0], STEP_S)
    ends, levels = (np.array(each) for each in zip(*PARTS, strict=True))
    share = levels[np.searchsorted(ends, seconds, side="right").clip(0, len(levels) - 1)]
    watts = (REST_W + share * (LOAD_W - REST_W)) * (1 + WANDERS * rng.standard_normal(seconds.size))
    bare = heat_log(seconds, np.zeros(seconds.size), watts)
    rise = course(bare, NETWORK, [stage.c_per_w * 0.9 * REST_W for stage in NETWORK])
    room = ROOM_C + 0.1 * np.sin(seconds / 700.0)
    readings = (
        room + rise + NOISE_C * rng.standard_normal(seconds.size), watts,
        room + 0.05 * rng.standard_normal(seconds.size),
    )  # fmt: skip
    fan = FAN_RPM + 10 * rng.integers(-1, 2, seconds.size)
    clock = np.where(share > 0, CLOCK_MHZ, IDLE_MHZ) + 25 * rng.integers(-1, 1, seconds.size)
    columns: list[Text | bytes] = [decimals(_tenths(seconds), 1)]
    for values in readings:
        columns += [b",", decimals(_tenths(values), 1)]
    for values in (fan, clock):
        columns += [b",", decimals(np.rint(values).astype(np.int64), 0)]
    return (",".join(_HEADERS) + "\n").encode() + joined(*columns, b"\n")


def _tenths(values: Floats) -> Whole:
    return np.rint(10 * values).astype(np.int64)
