"""What the good runs of one study teach about a test, in sums that can be added up over studies."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np

from evenhand.metrics.hitches import hitch_frames, stretches
from evenhand.records.faults import Fault
from evenhand.records.states import HOLDING
from evenhand.stats.medians import median
from evenhand.triage.features import Features, robust_spread
from evenhand.triage.learned import Known, Learned
from evenhand.triage.limits.learning import LearningLimits
from evenhand.triage.pairs import Pair, pair
from evenhand.triage.view import CellView


@dataclass(frozen=True, slots=True, kw_only=True)
class Sum:
    """A total, and the weight it is to be divided by."""

    total: float = 0.0
    weight: float = 0.0

    def __add__(self, other: Sum) -> Sum:
        return Sum(total=self.total + other.total, weight=self.weight + other.weight)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """What some cells teach; see `Learned` for what each of them is and its unit.

    `hitch_excess` holds Σ((k − μ)² − μ) over Σμ² for counts k about the mean μ of their cell, freed of the
    degree of freedom which that mean takes.
    """

    runs: int = 0
    spread: Sum = Sum()
    shape: Sum = Sum()
    sag: Sum = Sum()
    hitches: Sum = Sum()
    hitch_excess: Sum = Sum()
    scatter: Sum = Sum()

    def __add__(self, other: Lesson) -> Lesson:
        sums = {name: getattr(self, name) + getattr(other, name) for name in FIGURES}
        return Lesson(runs=self.runs + other.runs, **sums)


ODD = (
    "odd-level",
    "length",
    "late-start",
    "wrong-scene",
    "slow-stretch",
    "slow-sag",
    "extra-hitches",
    "frame-scatter",
)
"""Kinds that tell a run from its siblings: even as a note they speak against learning from it."""

FIGURES = tuple(field.name for field in fields(Lesson) if field.name != "runs")


def vouches(faults: Iterable[Fault]) -> bool:
    """Whether a run with these faults can tell how good runs differ: nothing holds it or calls it odd.

    Of two runs that lie apart both are noted, since nobody can say which is odd: neither teaches.
    """
    return not any(fault.severity in HOLDING or fault.kind in ODD for fault in faults)


def lesson_of(view: CellView) -> Lesson:
    """What one cell teaches: only runs that nothing holds, and only where there are two of them.

    >>> from evenhand.triage.candidate import Candidate, Company
    >>> from evenhand.records.tests import Direction, Measures, Test
    >>> from evenhand.triage.thresholds import DEFAULT
    >>> from evenhand.triage.view import look
    >>> test = Test(key="r", name="Night render", measures=Measures.SCORE, metric="score", unit="jobs/h",
    ...     direction=Direction.HIGHER)
    >>> runs = [Candidate(id=i, label=i, headline=h) for i, h in (("a", 4.0), ("b", 4.1))]
    >>> told = lesson_of(look(runs, Company(test=test), DEFAULT))
    >>> told.runs, round(told.spread.total, 6), told.spread.weight
    (2, 0.000305, 1.0)
    """
    good = [run for run in view.runs if not view.holding(run.id)]
    if len(good) < 2:
        return Lesson()
    framed = [run for run in good if run.frames > 1]
    pairs = [found for i, a in enumerate(framed) for b in framed[i + 1 :] if (found := pair(a, b, view))]
    counts = np.array([_hitches(run, view) for run in framed], float)
    minutes = np.array([run.duration_s / 60 for run in framed])
    return Lesson(
        runs=len(good),
        spread=_squares([math.log(run.run.headline) for run in good if run.run.headline]),
        shape=_mean_log([p.shape for p in pairs]),
        sag=Sum(total=sum(change_along(p) ** 2 for p in pairs), weight=float(len(pairs))),
        hitches=Sum(total=float(counts.sum()), weight=float(minutes.sum())),
        hitch_excess=_excess(counts, minutes),
        scatter=_squares([math.log(s) for run in framed if (s := _scatter(run, view)) > 0]),
    )


def learned_from(lessons: Iterable[Lesson], limits: LearningLimits) -> Learned:
    """What several studies teach together; their weight is held to what a test may have changed since.

    >>> one = Lesson(runs=5, spread=Sum(total=0.0004, weight=4.0))
    >>> told = learned_from([one, one], LearningLimits())
    >>> told.studies, told.runs, round(told.spread.value, 6), told.spread.weight
    (2, 10, 0.0001, 8.0)
    """
    known = [lesson for lesson in lessons if lesson.runs]
    total = sum(known, Lesson())
    figures = {name: _known(getattr(total, name), limits) for name in FIGURES}
    shape, excess = figures["shape"], figures["hitch_excess"]
    runs = min(float(total.runs), limits.most_weight)
    figures["shape"] = replace(shape, value=math.exp(shape.value)) if shape.weight else shape
    figures["hitch_excess"] = Known(value=max(0.0, excess.value), weight=runs) if excess.weight else excess
    return Learned(runs=total.runs, studies=len(known), **figures)


def change_along(laid: Pair) -> float:
    """How much slower the one run became against the other: last quarter of the scene less its first, ln."""
    quarter = max(1, laid.apart.size // 4)
    return median(laid.apart[-quarter:]) - median(laid.apart[:quarter])


def _known(figure: Sum, limits: LearningLimits) -> Known:
    if figure.weight <= 0:
        return Known()
    return Known(value=figure.total / figure.weight, weight=min(figure.weight, limits.most_weight))


def _squares(logs: Sequence[float]) -> Sum:
    """Sum of squares about the mean, and its degrees of freedom."""
    if len(logs) < 2:
        return Sum()
    return Sum(total=float(np.var(logs)) * len(logs), weight=float(len(logs) - 1))


def _mean_log(values: Sequence[float]) -> Sum:
    logs = [math.log(value) for value in values if value > 0]
    return Sum(total=sum(logs), weight=float(len(logs)))


def _hitches(run: Features, view: CellView) -> int:
    """How many hitches a run has, its first moments among them; worked out once."""
    return view.prepared.derived(run, "all hitches", 0, lambda: stretches(hitch_frames(run.frame_times_ms)))


def _scatter(run: Features, view: CellView) -> float:
    """Robust sd of the log ratio of neighbouring frames; worked out once."""
    return (
        view.prepared.derived(run, "scatter", 0, lambda: robust_spread(run.steps)) if run.frames > 1 else 0.0
    )


def _excess(counts: np.ndarray, minutes: np.ndarray) -> Sum:
    """By how much counts scatter beyond Poisson: moments, as for a negative binomial (Anscombe 1949)."""
    if counts.size < 2 or minutes.sum() <= 0 or counts.sum() == 0:
        return Sum()
    mean = counts.sum() / minutes.sum() * minutes
    squares = ((counts - mean) ** 2).sum() * counts.size / (counts.size - 1)
    return Sum(total=float(squares - mean.sum()), weight=float((mean**2).sum()))
