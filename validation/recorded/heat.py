"""Recorded logs of a real card under load: the network of a log's first part against what came after.

`python -m validation.recorded.heat` prints a markdown table. README.md beside this tells what was recorded.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from evenhand.stats.spread import Floats
from evenhand.tuning.heat_doubts import Doubt, doubts
from evenhand.tuning.heat_forecast import Course, onward
from evenhand.tuning.heat_log import HeatLog, heat_log
from evenhand.tuning.heat_rest import rest_checked
from evenhand.tuning.network_fit import Fit, fit_network


@dataclass(frozen=True, slots=True, kw_only=True)
class Recording:
    """A log, and after how many seconds of it what comes is forecast."""

    name: str
    seen_s: float

    @property
    def path(self) -> Path:
        """Its file, beside this one."""
        return Path(__file__).with_name(f"heat_{self.name}.csv")


SHARES = Recording(name="shares", seen_s=370.0)
"""Partial loads made of shares of tenths of a second; rest, full and half load are seen."""

EVEN = Recording(name="even", seen_s=330.0)
"""Loads that draw evenly; rest, full, products of zeros and of some numbers are seen."""

NEAR_C = 2.0
SENSORS = ("memory_c", "chip_c")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Forecast:
    """What the first part tells, and readings less forecast in the rest, shape (later,)."""

    fit: Fit
    doubts: tuple[Doubt, ...]
    course: Course
    off_c: Floats
    loads: npt.NDArray[np.str_]

    @property
    def near(self) -> float:
        """Which share of readings lies within 2 °C of the forecast."""
        return float((np.abs(self.off_c) <= NEAR_C).mean())


def recorded(log: Recording, sensor: str) -> tuple[HeatLog, npt.NDArray[np.str_]]:
    """The log of one sensor, and the load in each row."""
    with log.path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    time, warm, watts = ([float(row[key]) for row in rows] for key in ("seconds", sensor, "watts"))
    return heat_log(time, warm, watts), np.array([row["load"] for row in rows])


def forecast(recording: Recording, sensor: str) -> Forecast:
    """The rest of the log, forecast from its first part and the watts that came."""
    log, loads = recorded(recording, sensor)
    later = log.time_s > recording.seen_s
    fit = fit_network(log.only(~later))
    course = onward(fit, log)
    off = (log.temperature_c - course.temperature_c)[later]
    return Forecast(fit=fit, doubts=doubts(fit), course=course, off_c=off, loads=loads[later])


def lines(recording: Recording, sensor: str) -> list[str]:
    """The table's lines of one sensor."""
    found = forecast(recording, sensor)
    stages = " + ".join(
        f"{r.value:.4f} ± {r.half:.4f} °C/W in {s.value:.1f} s"
        for r, s in zip(found.fit.c_per_w_bands(), found.fit.seconds_bands(), strict=True)
    )
    told = f"| {recording.name} | {sensor} | {stages} | {found.fit.spread_c:.2f} |"
    parts = [("all", found.off_c)]
    parts += [(str(load), found.off_c[found.loads == load]) for load in np.unique(found.loads)]
    return [
        f"{told} {name} | {np.sqrt(np.mean(off**2)):.2f} | {np.mean(off):+.2f} | {np.abs(off).max():.1f} | "
        f"{(np.abs(off) <= NEAR_C).sum()} of {off.size} |"
        for name, off in parts
    ]


def main() -> None:
    """Print the table."""
    print("| log | sensor | stages | left over, °C | of | rms, °C | mean, °C | most, °C | within 2 °C |")
    print("|---" * 9 + "|")
    every = [(recording, sensor) for recording in (SHARES, EVEN) for sensor in SENSORS]
    for recording, sensor in every:
        print("\n".join(lines(recording, sensor)))
    for recording, sensor in every:
        for doubt in forecast(recording, sensor).doubts:
            print(f"{recording.name}, {sensor}: {doubt.value}")
    for recording, sensor in every:
        found = rest_checked(fit_network(recorded(recording, sensor)[0]))
        if found is not None:
            print(
                f"{recording.name}, {sensor}, the whole log: at rest after load {found.mean_c:+.1f} °C on "
                f"average, {found.most_c:+.1f} at the most; others within {found.others_c:.1f}"
            )


if __name__ == "__main__":
    main()
