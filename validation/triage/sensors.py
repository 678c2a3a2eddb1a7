"""Sensor logs of known truth: a log on a clock of its own that begins before the run and ends after it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta

import numpy as np
from scipy.signal import lfilter

from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel, SensorLog
from validation.triage.scenes import Flags, Floats

STARTED = datetime(2031, 3, 4, 9, 30, tzinfo=UTC)
MEMORY_MIB = 32_768.0
POWER_W = {"processor": 105.0, "graphics": 240.0}


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensing:
    """What the machine does in this run besides running well; as it stands: nothing.

    `clock_falls_to` (ratio) and `power_held_to` (ratio of the usual power) set in at `from_share` of the run,
    `fan_stops` and `memory_fills` too. `other_load_pct` is what another process takes until a later share of
    the run. `freezes` repeats all readings from then on. `zone_h` is by how many hours the log's time of day
    is off the run's.
    """

    from_share: float = 0.62
    clock_falls_to: float = 1.0
    power_held_to: float = 1.0
    fan_stops: bool = False
    memory_fills: bool = False
    other_load_pct: float = 0.0
    other_until: float = 1.0
    freezes: bool = False
    zone_h: float = 0.0


AS_USUAL = Sensing()


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sensed:
    """A sensor log, where in it the run truly begins, and the time of day that the run states for itself."""

    log: SensorLog
    run_at_s: float
    started_at: datetime | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Span:
    """Samples of one log, shape (n,): seconds since the run began, whether it goes on, how far it is."""

    own_s: Floats
    busy: Flags
    share: Floats

    def late(self, told: Sensing) -> Flags:
        """The samples in which what happens has set in."""
        return self.busy & (self.share >= told.from_share)


def draw_sensors(length_s: float, rng: np.random.Generator, told: Sensing) -> Sensed:
    """Readings every quarter, half or whole second, of idle, the run, and idle again."""
    period_s = float(rng.choice([0.25, 0.5, 1.0]))
    lead_s, tail_s = float(rng.uniform(0.5, 12)), float(rng.uniform(0.5, 8))
    at_s = np.arange(0, lead_s + max(length_s, 12.0) + tail_s, period_s)
    own_s = at_s - lead_s
    span = Span(own_s=own_s, busy=(own_s >= 0) & (own_s <= length_s), share=own_s / length_s)
    narrow = str(rng.choice(["processor", "graphics"], p=[0.3, 0.7]))
    channels = [
        *(channel for about in POWER_W for channel in _part(about, span, told, rng, full=about == narrow)),
        *_whole(span, told, rng),
    ]
    zone = timedelta(hours=told.zone_h)
    log = SensorLog(
        time_s=at_s,
        channels=tuple(_kept(channel, span, told) for channel in channels),
        started_at=STARTED + zone,
    )
    stated = STARTED + timedelta(seconds=lead_s + float(rng.normal(0, 2)))
    return Sensed(log=log, run_at_s=lead_s, started_at=stated if rng.random() < 0.5 else None)


def _part(about: str, span: Span, told: Sensing, rng: np.random.Generator, *, full: bool) -> list[Channel]:
    """Clock, load, power and temperature of one part: it boosts for a moment and steps by 25 MHz.

    The part that is the narrow one is at `full` load, the other somewhere below.
    """
    own_s, busy, late = span.own_s, span.busy, span.late(told)
    n = own_s.size
    top = 4700.0 if about == "processor" else 2600.0
    mean_load = float(rng.uniform(88, 99) if full else rng.uniform(25, 85))
    load = np.where(busy, rng.normal(mean_load, 2.0, n), rng.uniform(2, 12, n)).clip(0, 100)
    boost = np.where((own_s > 0) & (own_s < rng.uniform(1, 4)), 1.03, 1.0)
    clock = np.where(busy, top * boost + 25 * rng.integers(-2, 3, n), 0.35 * top + rng.uniform(0, 400, n))
    clock = np.where(late, clock * told.clock_falls_to * (0.25 + 0.75 * told.power_held_to), clock)
    power = POWER_W[about] * (0.15 + 0.85 * load / 100) * np.exp(0.01 * rng.standard_normal(n))
    limit = told.power_held_to * POWER_W[about] * (0.15 + 0.85 * mean_load / 100)
    held = limit * np.exp(0.002 * rng.standard_normal(n))
    power = np.where(late, np.minimum(power, held), power) if told.power_held_to < 1 else power
    rise = float(rng.uniform(20, 35))
    heat = np.where(busy, rise, 2.0)
    if told.fan_stops:
        heat = np.where(late, rise + 22.0, heat)
    temperature = 42.0 + _lag(heat, float(rng.uniform(15, 40)), own_s) + 0.3 * rng.standard_normal(n)
    return [
        Channel(role=Role.CLOCK, about=about, unit="MHz", values=np.round(clock).astype(np.float64)),
        Channel(role=Role.LOAD, about=about, unit="%", values=np.round(load, 1)),
        Channel(role=Role.POWER, about=about, unit="W", values=np.round(power, 2)),
        Channel(role=Role.TEMPERATURE, about=about, unit="°C", values=np.round(temperature, 1)),
    ]


def _whole(span: Span, told: Sensing, rng: np.random.Generator) -> list[Channel]:
    """Fan, memory and what another process takes."""
    own_s, busy, late = span.own_s, span.busy, span.late(told)
    n = own_s.size
    idle, full = float(rng.uniform(700, 1000)), float(rng.uniform(1300, 2200))
    fan = _lag(np.where(busy, full, idle) - idle, 12.0, own_s) + idle + 8.0 * rng.standard_normal(n)
    fan = np.where(late, 0.0, fan) if told.fan_stops else fan
    used = 0.35 * MEMORY_MIB + _lag(np.where(busy, rng.uniform(0.1, 0.3) * MEMORY_MIB, 0.0), 4.0, own_s)
    if told.memory_fills:
        climb = 2 * span.share / told.from_share - 1
        used = np.where(busy, np.maximum(used, MEMORY_MIB * (0.6 + 0.395 * climb.clip(0, 1))), used)
    used = np.minimum(used + 30.0 * rng.standard_normal(n), 0.996 * MEMORY_MIB)
    other = np.abs(rng.normal(0.8, 0.6, n))
    taken = late & (span.share <= told.other_until)
    other = np.where(taken, other + told.other_load_pct * np.exp(0.1 * rng.standard_normal(n)), other)
    return [
        Channel(role=Role.FAN, about="processor", unit="rpm", values=np.round(fan.clip(0))),
        Channel(role=Role.MEMORY, about="used", unit="MiB", values=np.round(used)),
        Channel(role=Role.LOAD, about="other programs", unit="%", values=np.round(other.clip(0, 100), 1)),
    ]


def _lag(to: Floats, time_s: float, own_s: Floats) -> Floats:
    """A first-order approach to a value, from its first one."""
    period = float(own_s[1] - own_s[0])
    keep = np.exp(-period / time_s)
    approach: Floats = np.asarray(lfilter([1 - keep], [1.0, -keep], to - to[0]), dtype=np.float64)
    return approach + float(to[0])


def _kept(channel: Channel, span: Span, told: Sensing) -> Channel:
    """The channel as logged: where the logger froze, its last reading over and over."""
    if not told.freezes:
        return channel
    last = int(np.argmax(span.share >= told.from_share))
    return replace(
        channel, values=np.where(span.share >= told.from_share, channel.values[last], channel.values)
    )
