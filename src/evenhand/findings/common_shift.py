"""What a change did to the anchor over all tests together."""

from __future__ import annotations

import math

from evenhand.findings.bridges import Period, anchored
from evenhand.findings.columns import Used
from evenhand.findings.effects import Effect
from evenhand.findings.outcomes import SHOWN_INTERVAL, decide, ends, from_log, is_measurable, may_be_small
from evenhand.findings.rows import Row, row
from evenhand.findings.sums import Summed, sum_tests
from evenhand.records.studies import Study
from evenhand.stats.between import differences, sample


def common_shift(anchor: str, *, old: Period, new: Period, study: Study) -> Effect | None:
    """New over old, the weighted geometric mean of all tests that the anchor was run in under both.

    As an index (`sums.sum_tests`): by boots where all tests share them, so that an error of a boot is in
    the interval. None for fewer than two tests. That one change moves every test alike is not claimed.
    """
    rows = [r for test in study.tests if (r := _row(anchor, test, old, new, study)) is not None]
    if len(rows) < 2:
        return None
    found = differences([sample(r.sessions.logs_a, r.sessions.logs_b) for r in rows if r.sessions])
    used = [
        Used(
            test=r.a.test, weight=study.weights.get(r.a.test, 1.0), sessions=r.sessions,
            difference=difference, one_run=r.one_run,
        )
        for r, difference in zip(rows, found, strict=True) if r.sessions
    ]  # fmt: skip
    runs = sum(len(r.a.observations) + len(r.b.observations) for r in rows)
    return _effect(sum_tests(used), rows, runs=runs, margin=math.log1p(study.margin))


def _row(anchor: str, test: str, old: Period, new: Period, study: Study) -> Row | None:
    pair = anchored(anchor, test, old, new)
    if pair is None or study.weights.get(test, 1.0) <= 0:
        return None
    after, before = pair
    if (after.metric, after.better) != (before.metric, before.better) or after.locked or before.locked:
        return None
    made = row(after, before, study=study)
    return made if made.sessions else None


def _effect(summed: Summed, rows: list[Row], *, runs: int, margin: float) -> Effect:
    outcome = decide(summed.evidence, margin=margin)
    low, high = ends(summed.d, summed.half_95)
    bound_low, bound_high = summed.evidence.bounds or (None, None)
    caveats = dict.fromkeys(c for r in rows if r.sessions for c in r.sessions.caveats)
    return Effect(
        ratio=from_log(summed.d), low=low, high=high, level=SHOWN_INTERVAL, outcome=outcome,
        method=summed.method, runs=runs, p=summed.evidence.p, p_holm=summed.evidence.p,
        bound_low=bound_low, bound_high=bound_high, measurably=is_measurable(outcome, summed.evidence.p),
        perhaps_small=may_be_small(outcome, (low, high, bound_low, bound_high), margin=margin),
        caveats=tuple(caveats),
    )  # fmt: skip
