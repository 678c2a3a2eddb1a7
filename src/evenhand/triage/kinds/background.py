"""Other programs at work during a run, where the sensor log tells their share of the machine."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.records.faults import Fault, Place, Severity
from evenhand.records.layouts import Role
from evenhand.traces.trace import SensorLog
from evenhand.triage.curves import Floats
from evenhand.triage.features import Features
from evenhand.triage.limits.sensors import BackgroundLimits
from evenhand.triage.sensing import in_role, living, smoothed, stretches_of, usual_step_s
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, count, moment, span

KIND = "background-load"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Others:
    """What other programs took: shapes (n,), seconds and % of the machine; their mean and longest burst."""

    time_s: Floats
    share_pct: Floats
    mean_pct: float
    bursts: tuple[tuple[float, float], ...]


def background_load(view: CellView) -> Iterator[tuple[str, Fault]]:
    """More than every sibling has, on the whole or in a burst; alone it is only told."""
    known = {run.id: others_of(run.run.sensors, view) for run in view.runs}
    for run in view.runs:
        own = known[run.id]
        siblings = [s for s in view.siblings(run.id) if known[s.id] is not None]
        theirs = [other for s in siblings if (other := known[s.id]) is not None]
        if own is not None and _fires(own, theirs, view.limits.background):
            yield run.id, _fault(own, theirs, siblings)


def others_of(sensors: SensorLog | None, view: CellView) -> Others | None:
    """The share of other programs: named so in the layout, or the machine's load less the test's own."""
    limits = view.limits.background
    live = living(sensors, view.limits.readings)
    if live is None:
        return None
    share = _share(live, limits)
    known = np.isfinite(share) if share is not None else np.zeros(0, bool)
    if share is None or np.count_nonzero(known) < view.limits.readings.fewest:
        return None
    time_s, values = live.time_s[known], share[known]
    hold = max(1, round(limits.burst_s / max(usual_step_s(live), 1e-3)))
    return Others(
        time_s=time_s,
        share_pct=values,
        mean_pct=float(values.mean()),
        bursts=tuple(_bursts(time_s, values, hold, limits)),
    )


def _bursts(
    time_s: Floats, values: Floats, hold: int, limits: BackgroundLimits
) -> Iterator[tuple[float, float]]:
    """From when to when each burst lasts: found in means of `hold` readings, placed by single ones."""
    means = smoothed(values, hold)
    for start, end in stretches_of(means > limits.burst_pct, np.arange(means.size, dtype=float)):
        first = int(start)
        above = np.flatnonzero(values[first : int(end) + hold] > limits.burst_pct) + first
        yield float(time_s[above[0]]), float(time_s[min(int(above[-1]) + 1, time_s.size - 1)])


def _share(sensors: SensorLog, limits: BackgroundLimits) -> Floats | None:
    loads = {c.about.casefold(): c.values for c in in_role(sensors, Role.LOAD)}
    for name in limits.names:
        if name in loads:
            return loads[name]
    own = next((loads[name] for name in limits.own_names if name in loads), None)
    whole = loads.get("processor")
    return None if own is None or whole is None else np.maximum(whole - own, 0.0)


def _fires(own: Others, theirs: Sequence[Others], limits: BackgroundLimits) -> bool:
    if not theirs:
        return own.mean_pct > limits.alone_pct
    more = own.mean_pct - max(other.mean_pct for other in theirs) > limits.share_pct
    return more or (bool(own.bursts) and not any(other.bursts for other in theirs))


def _fault(own: Others, theirs: Sequence[Others], siblings: Sequence[Features]) -> Fault:
    means = [other.mean_pct for other in theirs]
    beside = f" (its siblings: {span(min(means), max(means), 1, '%')})" if means else ""
    most_s = float(own.time_s[int(own.share_pct.argmax())])
    return Fault(
        kind=KIND,
        title="Other programs were at work",
        severity=Severity.IN_DOUBT if theirs else Severity.NOTE,
        evidence=(
            f"Other programs took {amount(own.mean_pct, 1, '%')} of the machine on average{beside}, and "
            f"{amount(float(own.share_pct.max()), 0, '%')} at {moment(most_s)}{_bursts_told(own)}."
        ),
        todo=(
            "Find out what ran (an update, a scan, a sync, a recording), end it for all runs alike, and "
            "record this run again."
        ),
        numbers={
            "mean_pct": own.mean_pct,
            "most_pct": float(own.share_pct.max()),
            "most_at_s": most_s,
            "bursts": float(len(own.bursts)),
        },
        places=tuple(Place(from_s=start, to_s=end) for start, end in own.bursts[:5]),
        siblings=tuple(s.id for s in siblings),
    )


def _bursts_told(own: Others) -> str:
    """How many bursts there were, and when the first began."""
    if not own.bursts:
        return ""
    bursts, start = count(len(own.bursts), "burst"), moment(own.bursts[0][0])
    first = "it began" if len(own.bursts) == 1 else "the first began"
    return f"; {bursts} of more than three seconds, {first} at {start}"
