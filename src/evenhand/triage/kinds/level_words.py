"""A run that stands apart in its level, in words and numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.records.faults import Fault, Severity
from evenhand.triage.features import Features
from evenhand.triage.limits.levels import LevelLimits
from evenhand.triage.standing import headline_logs
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, chance, change, listing, share, span

KIND = "odd-level"


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """How far one run stands off, in logs: mean and smallest agreed gap, spread, df, two-sided p.

    `course` says whether the gap was seen along the scene and not in the headline. `along` is the gap
    along the scene where that is known, `elsewhere` that the scene does not show the headline's gap.
    `beside` are siblings that stand apart as well and were left out.
    """

    gap: float
    agreed: float
    spread: float
    df: float
    p: float
    course: bool = False
    along: float | None = None
    elsewhere: bool = False
    beside: tuple[Features, ...] = ()


def holds(apart: Apart, limits: LevelLimits) -> bool:
    """Whether the gap is beyond what the test scatters by, and the scene shows it: more than worth a note."""
    return apart.spread < limits.noisy_spread and not apart.elsewhere


def apart_fault(run: Features, siblings: Sequence[Features], apart: Apart, view: CellView) -> Fault:
    """What was found, in words."""
    pair = len(siblings) == 1
    noisy = apart.spread >= view.limits.level.noisy_spread
    return Fault(
        kind=KIND,
        title="Stands apart from its siblings",
        severity=Severity.NOTE if pair or not holds(apart, view.limits.level) else Severity.IN_DOUBT,
        evidence=_sentence(run, siblings, apart, view) + _reserve(siblings, noisy=noisy),
        todo=(
            f"Record a third run to tell whether {run.run.label} or {siblings[0].run.label} is odd."
            if pair
            else "Compare settings, scene, driver and background load with its siblings; set it aside only "
            "for a reason found there, not for its number."
        ),
        numbers=_numbers(run, siblings, apart),
        siblings=tuple(s.id for s in siblings),
    )


def _numbers(run: Features, siblings: Sequence[Features], apart: Apart) -> dict[str, float]:
    along = {} if apart.along is None else {"along_scene_ln": apart.along}
    known = {"spread_ln": apart.spread, "df": apart.df, "p": apart.p} if apart.df else {}
    logs = headline_logs([run, *siblings])
    return (
        {
            "headline": math.exp(logs[0]),
            "siblings_lowest": math.exp(min(logs[1:])),
            "siblings_highest": math.exp(max(logs[1:])),
            "gap_ln": apart.gap,
            "least_gap_ln": abs(apart.agreed),
        }
        | known
        | along
    )


def _sentence(run: Features, siblings: Sequence[Features], apart: Apart, view: CellView) -> str:
    own, others = run.run.headline, [s.run.headline for s in siblings if s.run.headline is not None]
    assert own is not None
    unit = view.company.test.unit
    digits = max(0, 3 - math.floor(math.log10(max(own, *others))))
    level = span(min(others), max(others), digits, unit)
    where = f"its siblings at {level}" if len(others) > 1 else f"{siblings[0].run.label} at {level}"
    seen = f"{amount(own, digits, unit)} against {where}: "
    scatter = (
        f"where runs of this kind scatter by {share(apart.spread)} ({chance(apart.p)})."
        if apart.df
        else "and nothing is known yet of how far runs of this test scatter."
    )
    if apart.course:
        gap = change(math.exp(apart.gap))
        along = f"along the scene, hitches and stretches apart, its rate is {gap}, {scatter}"
        return seen + along + _beside(apart)
    return f"{seen}{change(math.exp(apart.gap))}, {scatter}" + _elsewhere(apart) + _beside(apart)


def _elsewhere(apart: Apart) -> str:
    """What the course of the run adds to what its headline says."""
    if apart.along is None:
        return ""
    along = change(math.exp(apart.along))
    if not apart.elsewhere:
        return f" The same along the scene, hitches and stretches apart: {along}."
    return f" Not so along the scene ({along}): hitches, a stretch or a shifted start have moved the number."


def _beside(apart: Apart) -> str:
    names = listing([r.run.label for r in apart.beside])
    return f" Judged without {names}, which stands apart as well." if names else ""


def _reserve(siblings: Sequence[Features], *, noisy: bool) -> str:
    if len(siblings) == 1:
        return " Of two runs nobody can say which is the odd one."
    return " This test scatters too widely to hold a run for its number." if noisy else ""
