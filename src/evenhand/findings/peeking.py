"""Findings where nobody declared looks: valid however often one looks and whenever one stops, and slower."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.findings.compare import Judged
from evenhand.findings.finding import Cell, Outcome
from evenhand.findings.looking import judged_rows, runs_of
from evenhand.findings.outcomes import from_log
from evenhand.findings.rows import Row
from evenhand.records.studies import Study
from evenhand.stats.anytime import anytime_half_width, t_e_value
from evenhand.stats.between import Sample

ERROR = 0.05  # of a whole study, over all looks that were or ever will be taken


@dataclass(frozen=True, slots=True, kw_only=True)
class Peeked:
    """a over b in one test so far, on evidence that holds at any time.

    `e` is the e-value against no difference; it is ahead or behind from `needed` on. `low`, `high` bound the
    ratio at `level` over all looks at this test; None while there are too few runs to exclude anything.
    """

    test: str
    a: str
    b: str
    outcome: Outcome
    n: int
    ratio: float | None
    low: float | None
    high: float | None
    level: float
    e: float | None
    needed: float

    @property
    def settled(self) -> bool:
        """Whether it is level, ahead or behind."""
        return self.outcome is not Outcome.UNSETTLED


def peek_study(cells: Sequence[Cell], *, study: Study) -> tuple[Peeked, ...]:
    """What the headline numbers of a study say at a look that nobody declared.

    Ahead asks for an e-value of comparisons/.05 (Bonferroni); level for the 95 % interval that holds at all
    times within the margin, widened by the allowance for shared errors. Spread is each test's own: what is
    borrowed from other tests has no such guarantee.
    """
    seen = judged_rows([cell for cell in cells if cell.headline], study)
    margin = math.log1p(study.margin)
    return tuple(_peek(row, judged, comparisons=len(seen), margin=margin) for row, judged in seen)


def _peek(row: Row, judged: Judged | None, *, comparisons: int, margin: float) -> Peeked:
    needed = comparisons / ERROR
    outcome, e, half = Outcome.UNSETTLED, None, None
    if judged is not None and judged.sample.df > 0 and judged.sample.variance > 0:
        allowance = row.sessions.allowance if row.sessions else 0.0
        e, half = _evidence(judged.sample, allowance)
        outcome = _outcome(judged.sample.d, e, half + allowance, needed=needed, margin=margin)
    d = judged.sample.d if judged else None
    bounded = d is not None and half is not None and math.isfinite(half)
    return Peeked(
        test=row.a.test, a=row.a.setup, b=row.b.setup, outcome=outcome, n=runs_of(row),
        ratio=None if d is None else from_log(d),
        low=from_log(d - half) if bounded else None,  # type: ignore[operator]
        high=from_log(d + half) if bounded else None,  # type: ignore[operator]
        level=1.0 - ERROR, e=e, needed=needed,
    )  # fmt: skip


def _evidence(s: Sample, allowance: float) -> tuple[float, float]:
    """The e-value against every difference within the allowance, and half the interval at all times."""
    se, weight = math.sqrt(s.variance * s.scale), 1.0 / s.scale
    beyond = max(0.0, abs(s.d) - allowance)
    return (
        t_e_value(beyond, se, s.df, weight=weight),
        anytime_half_width(se, s.df, weight=weight, alpha=ERROR),
    )


def _outcome(d: float, e: float, half: float, *, needed: float, margin: float) -> Outcome:
    if abs(d) + half < margin:
        return Outcome.LEVEL
    if e >= needed and d != 0.0:
        return Outcome.AHEAD if d > 0 else Outcome.BEHIND
    return Outcome.UNSETTLED
