"""Rates that are held: how often frames take how long, beside the trace."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from evenhand.records.faults import Fault
from evenhand.triage.curves import Floats
from evenhand.triage.exhibits.company import judged_against, traces
from evenhand.triage.exhibits.forms import Density, Exhibit, Marked
from evenhand.triage.features import Features
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, rate, share

_SEEN = (0.001, 0.999)  # quantiles: what lies beyond is a hitch
_CELLS = 400
_CELL = 0.008  # ln ratio: narrower ones leave nothing to see of frames that are not held
_CELLS_A_PERIOD = 40


def rate_cap(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The trace, and beside it how often each frame time comes, with the rate at which the run is held."""
    width = view.limits.cap.pile_window
    line = 1000 / fault.numbers["rate_fps"]
    held = Marked(
        from_ms=line * math.exp(-width / 2),
        to_ms=line * math.exp(width / 2),
        words=rate(fault.numbers["rate_fps"]),
    )
    return _with_density(run, judged_against(run, fault, view), line_ms=line, marked=(held,))


def lock_missed(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """The trace, and beside it how often each frame time comes: the rate declared, and the one reached."""
    within = view.limits.cap.locked_within
    told = {word: fault.numbers[f"{word}_fps"] for word in ("declared", "average")}
    marked = tuple(
        Marked(
            from_ms=1000 / fps * math.exp(-within),
            to_ms=1000 / fps * math.exp(within),
            words=f"{word} {rate(fps)}",
        )
        for word, fps in told.items()
    )
    return _with_density(
        run, judged_against(run, fault, view), line_ms=1000 / told["declared"], marked=marked
    )


def screen_steps(run: Features, fault: Fault, view: CellView) -> Exhibit:
    """Every frame as a dot, and beside it the multiples of the screen's period that frames take."""
    period = fault.numbers["period_ms"]
    shares = {
        int(name.removeprefix("share_at_")): part
        for name, part in fault.numbers.items()
        if name.startswith("share_at_")
    }
    step = period / _CELLS_A_PERIOD
    fullest = sorted(sorted(shares, key=lambda k: shares[k])[-2:])
    marked = tuple(
        Marked(
            from_ms=k * period - step,
            to_ms=k * period + step,
            words=f"{share(shares[k], 0)} at {amount(k * period, 2, 'ms')}",
        )
        for k in fullest
    )
    siblings = judged_against(run, fault, view)
    if not run.frames:
        return Exhibit()
    top = max(_edges_seen(r)[1] for r in (run, *siblings) if r.frames)
    edges: Floats = step * (np.arange(min(_CELLS, math.ceil(top / step)) + 1, dtype=float) + 0.5)
    return Exhibit(
        trace=traces(run, siblings, density=_density(run, siblings, edges, marked), dots=True),
    )


def _with_density(
    run: Features, siblings: Sequence[Features], *, line_ms: float, marked: tuple[Marked, ...]
) -> Exhibit:
    """The trace with a density in cells of one ratio, one of them about the line."""
    if not run.frames:
        return Exhibit()
    seen = [_edges_seen(r) for r in (run, *siblings) if r.frames]
    seen += [(m.from_ms, m.to_ms) for m in marked]  # a rate that no run reached is held to its own place
    low, high = min(s[0] for s in seen), max(s[1] for s in seen)
    width = max(_CELL, math.log(high / low) / _CELLS)
    first, last = (round(math.log(end / line_ms) / width) for end in (low, high))
    edges = line_ms * np.exp(width * (np.arange(first, last + 2) - 0.5))
    return Exhibit(trace=traces(run, siblings, density=_density(run, siblings, edges, marked)))


def _edges_seen(run: Features) -> tuple[float, float]:
    low, high = np.quantile(run.frame_times_ms, _SEEN)
    return float(low), float(high)


def _density(
    run: Features, siblings: Sequence[Features], edges: Floats, marked: tuple[Marked, ...]
) -> Density:
    return Density(
        edges_ms=edges,
        share=_share(run, edges),
        siblings=tuple(_share(s, edges) for s in siblings if s.frames),
        marked=marked,
    )


def _share(run: Features, edges: Floats) -> Floats:
    counted = np.histogram(run.frame_times_ms, edges)[0]
    return np.asarray(counted / run.frames)
