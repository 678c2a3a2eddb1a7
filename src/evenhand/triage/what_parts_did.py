"""What the clocks and temperatures of a run did while it grew slower, in words: heat of a part, or not."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.records.layouts import Role
from evenhand.traces.trace import SensorLog
from evenhand.triage.curves import Flags, Floats
from evenhand.triage.features import Features
from evenhand.triage.kinds.throttling import LoadedClock, loaded_clocks
from evenhand.triage.limits.course_kinds import PartsLimits
from evenhand.triage.sensing import in_role, live_sensors
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, listing, share


@dataclass(frozen=True, slots=True, kw_only=True)
class PartsDid:
    """What the parts did, as a sentence, and what to do next; `heat` is whether it still may be heat.

    `numbers` are the figures of the sentence.
    """

    evidence: str
    todo: str
    heat: bool
    numbers: dict[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """One clock at load over a run: its median, MHz, half of what nine of ten readings span, and its fall.

    `within` is a share of the median, `fallen` the natural log of its first quarter over its last.
    """

    about: str
    load: str
    mhz: float
    within: float
    fallen: float


def what_parts_did(run: Features, slower: float, view: CellView) -> PartsDid | None:
    """What this run's own sensors say to its having grown slower by so much (ln); None if nothing.

    Clocks count where their part was at load and the readings reach from the first quarter into the last.
    """
    sensors, limits = live_sensors(run, view), view.limits.parts
    if sensors is None:
        return None
    clocks = loaded_clocks(sensors, view.limits.throttle)
    kept = [_kept(c, run.duration_s) for c in clocks if _covers(c.time_s, run.duration_s, limits)]
    if kept:
        return _by_clocks(kept, slower, limits)
    return _by_heat(sensors, run.duration_s, limits)


def _covers(time_s: Floats, length_s: float, limits: PartsLimits) -> bool:
    """Whether readings are there in the first quarter of the run and in the last one."""
    early, late = (np.count_nonzero(quarter) for quarter in _quarters(time_s, length_s))
    return bool(min(early, late) >= limits.fewest)


def _quarters(time_s: Floats, length_s: float) -> tuple[Flags, Flags]:
    return time_s < 0.25 * length_s, time_s >= 0.75 * length_s


def _kept(clock: LoadedClock, length_s: float) -> Kept:
    early, late = _quarters(clock.time_s, length_s)
    low, middle, high = np.quantile(clock.clock_mhz, (0.05, 0.5, 0.95))
    fallen = math.log(np.median(clock.clock_mhz[early]) / np.median(clock.clock_mhz[late]))
    within = float(high - low) / 2 / float(middle)
    return Kept(about=clock.about, load=clock.load, mhz=float(middle), within=within, fallen=fallen)


def _by_clocks(kept: Sequence[Kept], slower: float, limits: PartsLimits) -> PartsDid:
    fell = [k for k in kept if k.fallen >= max(limits.fall, limits.fall_share * slower)]
    numbers: dict[str, float] = {}
    for at, clock in enumerate(kept, 1):
        numbers |= {f"clock_{at}_mhz": clock.mhz, f"clock_{at}_within": clock.within}
        numbers |= {f"clock_{at}_fallen_ln": clock.fallen}
    said = listing([_said(k, limits, fell=k in fell) for k in kept])
    if fell:
        return PartsDid(
            evidence=f"Its {said}: heat, or a limit of power, may be a part of it.",
            todo="Look at temperature, power and fans of that part, and run again with cooling and room as "
            "for the others; what the clock does not explain is another scene or another program.",
            heat=True,
            numbers=numbers,
        )
    parts = "of that part" if len(kept) == 1 else "of these parts"
    other = " Log the clock of the other part, too." if len({_part(k.about) for k in kept}) == 1 else ""
    return PartsDid(
        evidence=f"Its {said}: not heat {parts}, but another program or a scene that was not quite the same"
        + (", or another part." if other else "."),
        todo=f"See what else was at work, and which scene, route or save was loaded.{other}",
        heat=bool(other),
        numbers=numbers,
    )


def _said(clock: Kept, limits: PartsLimits, *, fell: bool) -> str:
    name = f"{clock.about} clock" if clock.about else "clock"
    load = f" at {clock.load}" if clock.load else ""
    if clock.fallen >= limits.fall:
        return f"{name} lost {'' if fell else 'only '}{share(-math.expm1(-clock.fallen))}{load}"
    return f"{name} held at {amount(clock.mhz, 0, 'MHz')} (±{share(clock.within)}){load}"


def _part(about: str) -> str:
    return about.casefold().split()[0] if about.split() else ""


def _by_heat(sensors: SensorLog, length_s: float, limits: PartsLimits) -> PartsDid | None:
    """What temperatures did where no clock tells anything."""
    said: list[str] = []
    numbers: dict[str, float] = {}
    for at, channel in enumerate(in_role(sensors, Role.TEMPERATURE), 1):
        known = np.isfinite(channel.values)
        time_s, values = sensors.time_s[known], channel.values[known]
        if _covers(time_s, length_s, limits):
            first, last = (float(np.median(values[q])) for q in _quarters(time_s, length_s))
            said.append(_went(channel.about, first, last, limits))
            numbers |= {f"heat_{at}_first_c": first, f"heat_{at}_last_c": last}
    if not said:
        return None
    return PartsDid(
        evidence=f"Its {listing(said)}; no clock at load is on record to tell whether it lost speed by that.",
        todo="Log the clocks and power beside the temperature with the next run: a clock that falls with the "
        "frames means heat; a clock that holds means another scene, or another program.",
        heat=True,
        numbers=numbers,
    )


def _went(about: str, first: float, last: float, limits: PartsLimits) -> str:
    name = f"{about} temperature" if about else "temperature"
    if abs(last - first) < limits.warmer_c:
        return f"{name} stayed at {amount(last, 0, '°C')}"
    word = "rose" if last > first else "fell"
    return f"{name} {word} from {amount(first, 0, '°C')} to {amount(last, 0, '°C')}"
