"""Simulated parts that warm up: how well their networks and forecasts are found, and whether bands hold.

`python -m validation.heat [--parts N]` prints markdown tables. Each part has a network of its own (a cooler
of one to three minutes; with a second stage, a case of eight to twenty), a room, a load and a sensor that
scatters by 0.5 to 1 °C and tells whole degrees once a second. A log rests, loads fully, loads by half and
rests. Forecasts are of another log of the same part: other watts, another room, from another start.
"""

from __future__ import annotations

import argparse
import math
import time
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from evenhand.stats.spread import Floats
from evenhand.tuning.bands import Known
from evenhand.tuning.heat_doubts import Doubt, doubts
from evenhand.tuning.heat_forecast import planned
from evenhand.tuning.heat_log import HeatLog, heat_log
from evenhand.tuning.network import Stage, course
from evenhand.tuning.network_fit import Fit, fit_network

PARTS = ((0.06, 0.0), (0.50, 1.0), (0.75, 0.5), (1.0, 0.0))
"""Until which share of a log, and at which share between rest and full load."""

OTHER = ((0.1, 0.0), (0.35, 0.7), (0.6, 1.0), (0.75, 0.2), (1.0, 0.85))
CLOSE, NEAR_C = 0.05, 2.0
COLUMNS = (
    "stages", "log, min", "room", "stages told right", "°C/W within 5 %", "seconds within 5 %", "worst",
    "long enough by its own doubts", "of these all within 5 %", "whole °C/W within 5 %",
    "bands hold (°C/W; seconds)", "forecast within 2 °C", "its band holds", "s a fit",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """Parts of so many stages, logs of so many minutes, and whether the room is on record."""

    stages: int
    minutes: int
    room: bool = True


WORLDS = (
    *(World(stages=1, minutes=m) for m in (30, 60)),
    *(World(stages=2, minutes=m) for m in (30, 45, 60)),
    World(stages=1, minutes=60, room=False), World(stages=2, minutes=60, room=False),
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One simulated part, its room, its watts at rest and at full load, and how its sensor scatters."""

    network: tuple[Stage, ...]
    room_c: float
    rest_w: float
    full_w: float
    noise_c: float

    def watts(self, share: Floats, rng: np.random.Generator) -> Floats:
        """Watts at a share of load, which wander by 2 %."""
        level: Floats = self.rest_w + share * (self.full_w - self.rest_w)
        return level * (1 + 0.02 * rng.standard_normal(share.size))

    def truth(self, log: HeatLog, room_c: float, from_w: float) -> Floats:
        """How warm it really gets."""
        return room_c + course(log, self.network, [stage.c_per_w * from_w for stage in self.network])


def part(world: World, rng: np.random.Generator) -> Part:
    """A part of a world."""
    cooler = Stage(c_per_w=rng.uniform(0.12, 0.35), seconds=rng.uniform(60, 180))
    case = Stage(c_per_w=rng.uniform(0.05, 0.2), seconds=rng.uniform(480, 1200))
    return Part(
        network=(cooler, case)[: world.stages], room_c=rng.uniform(18, 28), rest_w=rng.uniform(15, 40),
        full_w=rng.uniform(120, 280), noise_c=rng.uniform(0.5, 1.0),
    )  # fmt: skip


def shares(minutes: float, plan: tuple[tuple[float, float], ...]) -> tuple[Floats, Floats]:
    """Seconds, one by one, and the share of load in each."""
    seconds = np.arange(0.0, 60 * minutes)
    ends, levels = (np.array(each) for each in zip(*plan, strict=True))
    return seconds, levels[
        np.searchsorted(ends * 60 * minutes, seconds, side="right").clip(0, len(levels) - 1)
    ]


def logged(one: Part, world: World, rng: np.random.Generator) -> HeatLog:
    """What a log of the part says; it had drawn less than at rest for a long time before."""
    seconds, share = shares(world.minutes, PARTS)
    watts = one.watts(share, rng)
    bare = heat_log(seconds, np.zeros(seconds.size), watts)
    warm = one.truth(bare, one.room_c, one.rest_w * rng.uniform(0.6, 1.0))
    read = np.round(warm + one.noise_c * rng.standard_normal(seconds.size))
    return heat_log(seconds, read, watts, one.room_c if world.room else None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """What became of one part; `off` are (°C/W, seconds) of each stage as shares of the truth."""

    right: bool
    long: bool
    took_s: float
    off: Floats
    whole_off: float
    held: Floats
    forecast_off_c: float = math.nan
    forecast_held: float = math.nan


def tried(world: World, rng: np.random.Generator) -> Row:
    """One part from log to forecast."""
    one = part(world, rng)
    log = logged(one, world, rng)
    begin = time.perf_counter()
    fit = fit_network(log)
    took = time.perf_counter() - begin
    whole = sum(stage.c_per_w for stage in one.network)
    off, held = compared(fit, one.network)
    far, share = forecast(fit, one, rng) if world.room else (math.nan, math.nan)
    return Row(
        right=fit.stages == world.stages, long=long_enough(fit), took_s=took, off=off, held=held,
        whole_off=float(fit.c_per_w.sum()) / whole - 1, forecast_off_c=far, forecast_held=share,
    )  # fmt: skip


def long_enough(fit: Fit) -> bool:
    """Whether the fit itself does not doubt that its log was long enough."""
    return not {Doubt.TOO_SHORT, Doubt.HARDLY_KNOWN} & set(doubts(fit))


def compared(fit: Fit, network: tuple[Stage, ...]) -> tuple[Floats, Floats]:
    """By what share each value is off, and whether its band holds; nan where there are too few stages."""
    if fit.stages != len(network):
        return np.full((2, len(network)), np.nan), np.full((2, len(network)), np.nan)
    truth = np.array([[s.c_per_w for s in network], [s.seconds for s in network]])
    bands = (fit.c_per_w_bands(), fit.seconds_bands())
    found = np.array([[band.value for band in each] for each in bands])
    within = [
        [b.low <= t <= b.high for b, t in zip(*each, strict=True)] for each in zip(bands, truth, strict=True)
    ]
    return found / truth - 1, np.array(within, float)


def forecast(fit: Fit, one: Part, rng: np.random.Generator) -> tuple[float, float]:
    """The most that a forecast of another log is off, and the share of rows in which its band holds."""
    seconds, share = shares(rng.uniform(20, 60), OTHER)
    plan = heat_log(seconds, np.zeros(seconds.size), one.watts(share, rng))
    room, before = rng.uniform(18, 32), one.rest_w * rng.uniform(0.8, 1.2)
    truth = one.truth(plan, room, before)
    told = planned(fit, plan, Known(value=room), from_w=before)
    held = (told.low_c <= truth) & (truth <= told.high_c)
    return float(np.abs(told.temperature_c - truth).max()), float(held.mean())


def told(world: World, rows: list[Row]) -> tuple[str, ...]:
    """One line of the table."""
    right = [row for row in rows if row.right]
    off = np.abs(np.array([row.off for row in right]))
    held = np.array([row.held for row in right]).mean(axis=0)
    long = [row for row in right if row.long]
    return (
        str(world.stages), str(world.minutes), "known" if world.room else "unknown",
        percent(row.right for row in rows),
        each_percent(off[:, 0] <= CLOSE), each_percent(off[:, 1] <= CLOSE), f"{100 * off.max():.0f} %",
        str(len(long)), percent(bool((np.abs(row.off) <= CLOSE).all()) for row in long),
        percent(abs(row.whole_off) <= CLOSE for row in rows),
        "; ".join(" / ".join(f"{100 * h:.1f}" for h in each) for each in held),
        percent(row.forecast_off_c <= NEAR_C for row in rows) if world.room else "–",
        f"{100 * np.mean([row.forecast_held for row in rows]):.1f} %" if world.room else "–",
        f"{np.median([row.took_s for row in rows]):.2f}",
    )  # fmt: skip


def percent(flags: Iterable[bool]) -> str:
    """How many of all, in per cent."""
    return f"{100 * np.mean(list(flags)):.1f} %"


def each_percent(flags: Floats) -> str:
    """How many, stage by stage."""
    return " / ".join(f"{100 * share:.1f} %" for share in flags.mean(axis=0))


def main() -> None:
    """Simulate and print."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--parts", type=int, default=200)
    asked.add_argument("--seed", type=int, default=20261129)
    given = asked.parse_args()
    print("| " + " | ".join(COLUMNS) + " |\n" + "|---" * len(COLUMNS) + "|")
    for k, world in enumerate(WORLDS):
        rng = np.random.default_rng([given.seed, k])
        rows = [tried(world, rng) for _ in range(given.parts)]
        print("| " + " | ".join(told(world, rows)) + " |")


if __name__ == "__main__":
    main()
