"""Temperature logs of the small study's tuned part, as a program would write them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from tests.desk.small_folder import NOW
from tests.tuning.heated import CASE, COOLER, ROOM, log_of

from evenhand.desk.tuning.heat_columns import look_at
from evenhand.desk.tuning.heat_noting import NotedHeat, keep_log, note_heat
from evenhand.store.workbench import Workbench

HEADERS = ("seconds", "processor [°C]", "processor [W]", "room [°C]", "graphics [°C]", "processor fan [rpm]",
           "processor clock [MHz]")  # fmt: skip
NAMED = dict(zip(("time", "temperature", "watts", "room", "other", "fan", "clock"), HEADERS, strict=True))
OF = {"setup": "wren", "part": "processor"}


def rows(**changes: Sequence[float]) -> list[list[str]]:
    """An hour of rest, load, half load and rest in a room of 22 °C, a row every two seconds.

    `changes` put other values in place of a column's; nan is written as nothing.
    """
    log = log_of(COOLER, CASE, noise=0.5)
    n = log.time_s.size
    columns = {
        "time": log.time_s, "temperature": log.temperature_c, "watts": log.watts, "room": np.full(n, ROOM),
        "other": np.full(n, 45.0), "fan": np.full(n, 1200.0), "clock": np.full(n, 4500.0),
    }  # fmt: skip
    columns |= {name: np.asarray(values, float) for name, values in changes.items()}
    return [["" if np.isnan(v) else f"{v:.1f}" for v in row] for row in zip(*columns.values(), strict=True)]


def written(lines: Sequence[Sequence[str]], headers: Sequence[str] = HEADERS) -> bytes:
    return "\n".join(",".join(line) for line in (headers, *lines)).encode() + b"\n"


LOG = written(rows())


def one_power(off_c: float = 0.0) -> bytes:
    """The part at 150 W for an hour from cold on; `off_c` warmer than its network of steps says."""
    n = log_of(COOLER, CASE).time_s.size
    rise = (0.37 * 150.0 + off_c) * (1 - np.exp(-2.0 * np.arange(n) / 100.0))
    noise = np.random.default_rng(3).normal(0, 0.5, n)
    return written(rows(watts=np.full(n, 150.0), temperature=np.round(ROOM + rise + noise)))


def brought(wb: Workbench, data: bytes = LOG, *, name: str = "warm.csv", **given: Any) -> NotedHeat:
    """A log on record."""
    file = look_at(wb, keep_log(wb, data, name=name))
    return note_heat(wb, {**OF, **given}, file, now=NOW)
