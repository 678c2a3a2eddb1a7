"""What to look at for a fault, by its kind; and the cell as it stood when the fault was found."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from evenhand.records.faults import Fault
from evenhand.triage.candidate import Candidate, Company
from evenhand.triage.exhibits import course, hitch_rows, levels, logs, rates, sensors, terms, twins
from evenhand.triage.exhibits.company import siblings_of, traces
from evenhand.triage.exhibits.forms import Below, Exhibit, Numbers
from evenhand.triage.features import Features
from evenhand.triage.prepared import Prepared
from evenhand.triage.thresholds import DEFAULT, Thresholds
from evenhand.triage.triage import DETECTORS
from evenhand.triage.view import CellView, look

Shower = Callable[[Features, Fault, CellView], Exhibit]

EXHIBITS: Mapping[str, Shower] = {
    "wrong-units": logs.wrong_units,
    "bad-frame-times": logs.bad_frames,
    "not-frames": logs.clocks_apart,
    "slipped-clock": logs.clocks_apart,
    "truncated": logs.truncated,
    "damaged-log": logs.damaged,
    "twin": twins.twin,
    "other-settings": terms.other_settings,
    "mixed-stamps": terms.mixed_stamps,
    "room": terms.room,
    "length": terms.length,
    "too-short": terms.length,
    "rate-cap": rates.rate_cap,
    "lock-missed": rates.lock_missed,
    "screen-steps": rates.screen_steps,
    "odd-level": levels.odd_level,
    "slow-sag": course.slow_sag,
    "slow-stretch": course.slow_stretch,
    "late-start": course.late_start,
    "wrong-scene": course.wrong_scene,
    "extra-hitches": hitch_rows.extra_hitches,
    "frame-scatter": levels.frame_scatter,
    "throttling": sensors.throttling,
    "power-limit": sensors.power_limit,
    "fan-failure": sensors.fan_failure,
    "memory-full": sensors.memory_full,
    "background-load": sensors.background_load,
}

NEEDED: Mapping[str, tuple[str, ...]] = {
    "rate-cap": ("rate_fps",),
    "lock-missed": ("declared_fps", "average_fps"),
    "screen-steps": ("period_ms",),
}
"""What a fault must have told to be shown by it, and not by its trace alone; an older program told less."""


def exhibit(view: CellView, run: str, fault: Fault) -> Exhibit | None:
    """What to look at for one fault of one run; None where there is neither trace nor anything else.

    `view` is the cell as it stood when the fault was found (`as_judged`). A kind of no family is shown by its
    trace alone.
    """
    own = next((r for r in view.runs if r.id == run), None)
    if own is None:
        return None
    known = all(name in fault.numbers for name in NEEDED.get(fault.kind, ()))
    shower = EXHIBITS.get(fault.kind) if known else None
    told = Exhibit(trace=traces(own, siblings_of(own, view))) if shower is None else shower(own, fault, view)
    told = replace(told, below=_finite(told.below))
    return told if told.trace is not None or told.below is not None else None


def _finite(below: Below | None) -> Below | None:
    """The view without numbers that are none: a run without a usable frame has no length and no median."""
    if not isinstance(below, Numbers):
        return below
    if not math.isfinite(below.own):
        return None
    peers = (replace(p, values=tuple(filter(math.isfinite, p.values))) for p in below.peers)
    return replace(
        below,
        siblings=tuple(filter(math.isfinite, below.siblings)),
        peers=tuple(peer for peer in peers if peer.values),
        expected=below.expected if below.expected and all(map(math.isfinite, below.expected)) else None,
    )


def as_judged(
    runs: Sequence[Candidate],
    company: Company,
    *,
    of: tuple[str, str],
    thresholds: Thresholds = DEFAULT,
    prepared: Prepared | None = None,
) -> CellView:
    """The cell as it stood when a fault was found, `of` a run (its id) and a kind: with what came before it.

    Where the fault is not found on these runs, the cell as it stands when all has been looked for.
    """
    view = look(runs, company, thresholds, prepared)
    for detector in DETECTORS:
        found = list(detector(view))
        if any((run, fault.kind) == of for run, fault in found):
            return view
        view = view.with_found(found)
    return view
