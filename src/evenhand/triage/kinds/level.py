"""A run whose headline number stands apart from all its siblings."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np
from scipy import special

from evenhand.records.faults import Fault, Severity
from evenhand.stats.spread import moderate
from evenhand.triage.features import Features
from evenhand.triage.limits.levels import LevelLimits
from evenhand.triage.view import CellView
from evenhand.triage.wording import amount, change, share, span

KIND = "odd-level"
_EXPLAINED = ("wrong-units", "not-frames", "twin", "rate-cap", "lock-missed", "throttling")


@dataclass(frozen=True, slots=True, kw_only=True)
class Apart:
    """How far a run stands off: mean and smallest agreed gap in logs, spread, df, two-sided p."""

    gap: float
    agreed: float
    spread: float
    df: float
    p: float


def odd_level(view: CellView) -> Iterator[tuple[str, Fault]]:
    """Judge each run's headline against its unheld siblings by the guarded moderated rule.

    Not judged: runs held for something that explains their level. Of two runs nobody can say which is
    odd: both get a note.
    """
    for run in view.runs:
        siblings = [s for s in view.siblings(run.id) if _has_level(s)]
        if not siblings or not _has_level(run) or view.blocked(run.id) or _explained(view, run):
            continue
        apart = measure(run, siblings, view)
        if apart is not None and _fires(
            apart, len(siblings), view.limits.level, peers=any(len(p) > 1 for p in view.peers)
        ):
            yield run.id, _fault(run, siblings, apart, view)


def _has_level(run: Features) -> bool:
    return run.run.headline is not None and math.isfinite(run.run.headline) and run.run.headline > 0


def _explained(view: CellView, run: Features) -> bool:
    return any(f.kind in _EXPLAINED and f.severity is not Severity.NOTE for f in view.found[run.id])


def _log(run: Features) -> float:
    assert run.run.headline is not None
    return math.log(run.run.headline)


def measure(run: Features, siblings: Sequence[Features], view: CellView) -> Apart | None:
    """Mean gap ÷ √(v(1 + 1/m)) as a t, v from the siblings and peers, drawn to the study's spread.

    None where nothing is known of the spread: one sibling, no peers, no study.
    """
    gaps = [_log(run) - _log(s) for s in siblings]
    variance, df = _pooled([siblings, *view.peers])
    spread, df = _moderated(variance, df, view)
    if df <= 0:
        return None
    gap = float(np.mean(gaps))
    t = gap / (spread * math.sqrt(1 + 1 / len(gaps)))
    one_side = min(gaps) > 0 or max(gaps) < 0
    return Apart(
        gap=gap,
        agreed=min(map(abs, gaps)) if one_side else 0.0,
        spread=spread,
        df=df,
        p=2 * float(special.stdtr(df, -abs(t))),
    )


def _pooled(cells: Sequence[Sequence[Features]]) -> tuple[float, float]:
    """Variance of log headlines within these cells, and its degrees of freedom."""
    logs = [[_log(r) for r in cell if _has_level(r)] for cell in cells]
    df = sum(len(own) - 1 for own in logs if own)
    squares = sum(float(np.var(own)) * len(own) for own in logs if own)
    return (squares / df if df else 0.0), float(df)


def _moderated(variance: float, df: float, view: CellView) -> tuple[float, float]:
    """The spread (sd in logs) and df to judge by; df 0 where nothing is known."""
    study = view.company.study_spread
    lent = moderate([variance, *(v for v, _ in study)], [df, *(d for _, d in study)])
    least = view.limits.level.least_spread
    drawn = float(lent.variances[0])
    return max(math.sqrt(drawn), least) if lent.dfs[0] > 0 else least, float(lent.dfs[0])


def _fires(apart: Apart, siblings: int, limits: LevelLimits, *, peers: bool) -> bool:
    p = limits.p_few if siblings + 1 <= limits.few_runs else limits.p_many
    p *= 1.0 if peers else limits.no_peer_factor
    return apart.agreed >= limits.least_gap and apart.p < p


def _fault(run: Features, siblings: Sequence[Features], apart: Apart, view: CellView) -> Fault:
    pair = len(siblings) == 1
    noisy = apart.spread >= view.limits.level.noisy_spread
    return Fault(
        kind=KIND,
        title="Stands apart from its siblings",
        severity=Severity.NOTE if pair or noisy else Severity.IN_DOUBT,
        evidence=_sentence(run, siblings, apart, view) + _reserve(siblings, noisy=noisy),
        todo=(
            f"Record a third run to tell whether {run.run.label} or {siblings[0].run.label} is odd."
            if pair
            else "Compare settings, scene, driver and background load with its siblings; set it aside only "
            "for a reason found there, not for its number."
        ),
        numbers={
            "gap_ln": apart.gap,
            "least_gap_ln": apart.agreed,
            "spread_ln": apart.spread,
            "df": apart.df,
            "p": apart.p,
        },
        siblings=tuple(s.id for s in siblings),
    )


def _sentence(run: Features, siblings: Sequence[Features], apart: Apart, view: CellView) -> str:
    own = run.run.headline
    others = [s.run.headline for s in siblings if s.run.headline is not None]
    assert own is not None
    unit = view.company.test.unit
    digits = max(0, 3 - math.floor(math.log10(max(chain([own], others)))))
    level = span(min(others), max(others), digits, unit)
    where = f"its siblings at {level}" if len(others) > 1 else f"{siblings[0].run.label} at {level}"
    return (
        f"{amount(own, digits, unit)} against {where}: {change(math.exp(apart.gap))}, where runs of this "
        f"kind scatter by {share(apart.spread)} (p = {apart.p:.2g})."
    )


def _reserve(siblings: Sequence[Features], *, noisy: bool) -> str:
    if len(siblings) == 1:
        return " Of two runs nobody can say which is the odd one."
    return " This test scatters too widely to hold a run for its number." if noisy else ""
