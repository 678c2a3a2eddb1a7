"""A part held at a lower power than in its siblings: another power plan, limit or supply."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.records.faults import Fault, Severity
from evenhand.records.layouts import Role
from evenhand.traces.trace import Channel
from evenhand.triage.features import Features
from evenhand.triage.limits.sensors import PowerLimits
from evenhand.triage.pairs import agreed
from evenhand.triage.sensing import beside, in_role, live_sensors, same_place
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, change, share, span

KIND = "power-limit"


@dataclass(frozen=True, slots=True, kw_only=True)
class Lower:
    """How much less a part draws than in its siblings: logs, agreed by all; `clock` the same of its clock.

    `own_w`, `theirs_w` are medians; `held` the share of this run's samples at its own ceiling.
    """

    about: str
    power: float
    clock: float
    rate: float
    own_w: float
    theirs_w: tuple[float, ...]
    held: float


def power_limit(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Compare what each part draws with what it draws in all siblings; two at least must agree."""
    for run in view.runs:
        lower = lowest(run, view)
        if lower is not None:
            yield run.id, _fault(lower, view.siblings(run.id))


def lowest(run: Features, view: CellView) -> Lower | None:
    """The part of a run that draws least beside its siblings; None where none is held lower."""
    siblings, sensors = view.siblings(run.id), live_sensors(run, view)
    found = [
        lower
        for channel in in_role(sensors, Role.POWER)
        if (lower := _lower(channel, run, siblings, view)) is not None and _fires(lower, view.limits.power)
    ]
    return min(found, key=lambda lower: lower.power, default=None)


def _lower(channel: Channel, run: Features, siblings: Sequence[Features], view: CellView) -> Lower | None:
    sensors = live_sensors(run, view)
    assert sensors is not None
    own_w = _usual(channel)
    others = [(s, same_place(channel, live_sensors(s, view))) for s in siblings]
    known = [(s, there, _usual(there)) for s, there in others if there is not None]
    theirs = [w for _, _, w in known if w > 0]
    if len(theirs) < 2 or len(theirs) < len(known) or own_w <= 0:
        return None
    gap = agreed([math.log(own_w / w) for w in theirs])
    spread = float(np.std(np.log(theirs), ddof=1))
    if -gap <= view.limits.power.spreads * spread:
        return None
    clock = beside(channel, Role.CLOCK, sensors.channels)
    return Lower(
        about=channel.about,
        power=gap,
        clock=_clock_gap(clock, siblings, view) if clock is not None else 0.0,
        rate=_rate_gap(run, siblings),
        own_w=own_w,
        theirs_w=tuple(theirs),
        held=_held(channel, view.limits.power),
    )


def _usual(channel: Channel) -> float:
    """The median of the upper half: what the part draws while it works."""
    known = channel.values[np.isfinite(channel.values)]
    return float(np.quantile(known, 0.75)) if known.size else 0.0


def _held(channel: Channel, limits: PowerLimits) -> float:
    known = channel.values[np.isfinite(channel.values) & (channel.values > 0)]
    if not known.size:
        return 0.0
    top = float(np.quantile(known, 0.95))
    return float(np.mean(np.abs(np.log(known / top)) <= limits.held_within))


def _clock_gap(clock: Channel, siblings: Sequence[Features], view: CellView) -> float:
    own = _usual(clock)
    others = [same_place(clock, live_sensors(s, view)) for s in siblings]
    theirs = [_usual(c) for c in others if c is not None]
    return agreed([math.log(own / t) for t in theirs]) if own > 0 and theirs and min(theirs) > 0 else 0.0


def _rate_gap(run: Features, siblings: Sequence[Features]) -> float:
    """How much slower the run is in its median frame than every sibling, negative where it is."""
    if not run.frames or not all(s.frames for s in siblings):
        return 0.0
    return agreed([math.log(s.median_ms / run.median_ms) for s in siblings])


def _fires(lower: Lower, limits: PowerLimits) -> bool:
    slowed = min(lower.clock, lower.rate) <= -limits.slower
    return lower.power <= -limits.below and lower.held >= limits.held_share and slowed


def _fault(lower: Lower, siblings: Sequence[Features]) -> Fault:
    part = f"The {lower.about}" if lower.about else "The part"
    theirs = span(min(lower.theirs_w), max(lower.theirs_w), 0, "W")
    clock = f", its clock {change(math.exp(lower.clock))}" if lower.clock else ""
    return Fault(
        kind=KIND,
        title="Held at a lower power than its siblings",
        severity=Severity.IN_DOUBT,
        evidence=(
            f"{part} drew {amount(lower.own_w, 0, 'W')} where its siblings draw {theirs} "
            f"({change(math.exp(lower.power))}){clock}; {share(lower.held, 0)} of its readings lie there."
        ),
        todo=(
            "Compare power plan, firmware limits, supply and charger with its siblings; set right what "
            "differs, within the maker's limits, and record the run again."
        ),
        numbers={
            "power_w": lower.own_w,
            "power_over_siblings": math.exp(lower.power),
            "clock_over_siblings": math.exp(lower.clock),
            "held_share": lower.held,
        },
        siblings=tuple(s.id for s in siblings),
    )
