"""A build at stock and tuned: runs of both, watts at the wall, noise, and trials of its processor."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from tests.desk.small_folder import Folder
from tests.desk.swapped_folder import Made, swapped

RISE = math.log(4400 / 4000)
WATTS = {"stock": 200.0, "tuned": 224.0}
TESTS = ("quay", "mole", "pier")
PART = {
    "setup": "tuned", "part": "processor", "stock_clock_mhz": 4000.0, "stock_voltage_mv": 1000.0,
    "clock_step_mhz": 50.0, "voltage_step_mv": 5.0,
}  # fmt: skip
LEVELS = {"stock": 32.0, "tuned": 35.0}


def pair(
    gains: Mapping[str, float] | None = None, *, clocks: bool = True, stock: bool = True,
    states: tuple[str, str] = ("stock", "mild tune"),
) -> Folder:  # fmt: skip
    """Logs of rates by test: what the tuned one gains; another build stands beside them."""
    found = dict.fromkeys(TESTS, 0.6 * RISE) if gains is None else dict(gains)
    made = [
        _state("tuned", 4400, found, states[1], clocks=clocks),
        Made(key="other", build="gull", parts=("p1", "g1"), logs=dict.fromkeys(found, 4.1)),
    ]
    if stock:
        made.insert(0, _state("stock", 4000, dict.fromkeys(found, 0.0), states[0], clocks=clocks))
    return swapped(*made, compared=("tuned", "other"))


def _state(key: str, clock: int, gains: Mapping[str, float], state: str, *, clocks: bool) -> Made:
    return Made(
        key=key, build="tern", state=state, parts=("p0", "g0"),
        logs={test: 4.0 + gain for test, gain in gains.items()},
        stamps={"driver": "1"} | ({"processor clock": f"{clock} MHz"} if clocks else {}),
    )  # fmt: skip


def measured(folder: Folder) -> Folder:
    """The same with watts at the wall on every run, and readings of noise under one test and idle."""
    for run in folder.runs:
        if run["setup"] in WATTS:
            run["wall_w"] = WATTS[run["setup"]] + 2 * (int(run["label"][-1]) % 3 - 1)
    folder.document["sound"] = [_reading(key, test, off) for key in LEVELS for test in ("", "quay")
                                for off in (-0.1, 0.0, 0.1)]  # fmt: skip
    return folder


def _reading(setup: str, test: str, off: float) -> dict[str, Any]:
    told: dict[str, Any] = {
        "setup": setup, "level_db": LEVELS[setup] + off, "background_db": 20.0, "distance_m": 0.6,
    }  # fmt: skip
    return told | ({"test": test} if test else {})
