"""A run whose frames vary more, or less, from one to the next than its siblings' do."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.records.faults import Fault, Severity
from evenhand.triage.features import Features
from evenhand.triage.limits.levels import ScatterLimits
from evenhand.triage.pairs import agreed
from evenhand.triage.view import CellView
from evenhand.triage.wording import share, span

KIND = "frame-scatter"
_EXPLAINED = ("wrong-units", "not-frames", "twin", "rate-cap", "lock-missed", "screen-steps", "wrong-scene")


@dataclass(frozen=True, slots=True, kw_only=True)
class Scatter:
    """Log ratio of a run's frame scatter to its siblings': mean, smallest agreed, in spreads of good runs."""

    gap: float
    agreed: float
    spread: float
    z: float


def frame_scatter(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Compare the robust sd of one frame's noise with each sibling's; a note, never a hold."""
    for run in view.runs:
        if not _measured(run, view.limits.scatter) or view.has(run.id, *_EXPLAINED):
            continue
        siblings = [s for s in view.siblings(run.id) if _measured(s, view.limits.scatter)]
        found = measure(run, siblings, view) if siblings else None
        if found is not None and _fires(found, len(siblings), view.limits.scatter):
            yield run.id, _fault(run, siblings, found)


def _measured(run: Features, limits: ScatterLimits) -> bool:
    return run.frames >= limits.fewest_frames and run.noise >= limits.least_noise


def measure(run: Features, siblings: Sequence[Features], view: CellView) -> Scatter:
    """Mean log ratio ÷ √(v(1 + 1/m)); v from siblings, peers, earlier studies and a belief by noise."""
    limits, gaps = view.limits.scatter, [math.log(run.noise / s.noise) for s in siblings]
    usual = float(np.median([s.noise for s in siblings]))
    usual = usual if len(siblings) > 1 else math.sqrt(usual * run.noise)  # of two, either may be the odd one
    prior = limits.prior_spread + limits.noise_factor * max(0.0, usual - limits.noise_from)
    learned = view.company.learned.scatter
    told = [(prior**2, limits.prior_runs), (learned.value, min(learned.weight, limits.most_learned))]
    for cell in (siblings, *view.peers):
        logs = [math.log(r.noise) for r in cell if _measured(r, limits)]
        if len(logs) > 1:
            told.append((float(np.var(logs, ddof=1)), len(logs) - 1.0))
    spread = math.sqrt(sum(v * w for v, w in told) / sum(w for _, w in told))
    gap = float(np.mean(gaps))
    return Scatter(
        gap=gap, agreed=agreed(gaps), spread=spread, z=gap / (spread * math.sqrt(1 + 1 / len(gaps)))
    )


def _fires(found: Scatter, siblings: int, limits: ScatterLimits) -> bool:
    z = limits.z_few if siblings + 1 <= limits.few_runs else limits.z_many
    return abs(found.agreed) >= math.log(limits.least_ratio) and abs(found.z) > z


def _fault(run: Features, siblings: Sequence[Features], found: Scatter) -> Fault:
    noises = [100 * s.noise for s in siblings]
    whom = "its siblings' by" if len(siblings) > 1 else f"{siblings[0].run.label}'s by"
    reserve = " Of two runs nobody can say which is the odd one." if len(siblings) == 1 else ""
    return Fault(
        kind=KIND,
        title="Frames scatter more than its siblings'"
        if found.gap > 0
        else "Frames scatter less than its siblings'",
        severity=Severity.NOTE,
        evidence=(
            f"From one frame to the next its times scatter by {share(run.noise, 2)}, {whom} "
            f"{span(min(noises), max(noises), 2, '%')}: a factor of {math.exp(found.gap):.2f}, where runs of "
            f"this kind differ by {share(found.spread, 0)}.{reserve}"
        ),
        todo=(
            "See whether something else ran beside it, or power was saved, before you trust its lows."
            if found.gap > 0
            else "See whether a limiter or another setting smoothed its frames, before you trust its lows."
        ),
        numbers={
            "scatter_ln": run.noise,
            "siblings_least_ln": min(noises) / 100,
            "siblings_most_ln": max(noises) / 100,
            "ratio": math.exp(found.gap),
            "least_ratio": math.exp(abs(found.agreed)),
            "spread_ln": found.spread,
            "z": found.z,
        },
        siblings=tuple(s.id for s in siblings),
    )
