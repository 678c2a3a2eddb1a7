"""Findings while measuring goes on: judged at looks declared in advance, at levels that allow for looking."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from evenhand.findings.compare import Judged
from evenhand.findings.finding import Cell, Outcome, Settle
from evenhand.findings.live_finding import Live, LiveFinding
from evenhand.findings.live_indexes import live_indexes
from evenhand.findings.looking import LookedAt, Place, Stops, first_runs, judged_rows, place_of, runs_of
from evenhand.findings.outcomes import Evidence, decide, ends, from_log
from evenhand.findings.rows import Row, rows
from evenhand.plans.looks import Looks
from evenhand.records.studies import Study
from evenhand.stats.between import Rule
from evenhand.stats.settle import Question, settles_with


def live_study(
    cells: Sequence[Cell], *, study: Study, looks: Looks, minutes: Mapping[str, float] | None = None
) -> Live:
    """What the headline numbers of a study say at its declared looks.

    At each look every test is judged by its first so many runs a side, with the rules of `compare_study` and
    these differences: ahead asks for p times the number of comparisons (pairs and tests together, Bonferroni)
    below `looks.ahead`; level for the interval at 1 − 2·`looks.level` within the margin. A cell whose pairs
    are all settled gets no more runs: later ones are not looked at. An index is judged where all its
    unsettled tests stand at a look, at the same levels without Bonferroni.

    A look is made again from the record each time it is asked for: a run set aside later changes it.
    """
    headline = [cell for cell in cells if cell.headline]
    comparisons = sum(not row.locked for row in rows(headline, study=study))
    of = LookedAt(study=study, looks=looks, comparisons=max(1, comparisons), minutes=minutes or {})
    settled, stops = _look_by_look(headline, of)
    findings = tuple(
        settled[place_of(row)] if place_of(row) in settled else _open(row, judged, of)
        for row, judged in judged_rows(first_runs(headline, stops), study)
    )
    return Live(looks=looks, findings=findings, indexes=tuple(live_indexes(headline, findings, stops, of)))


def _look_by_look(cells: Sequence[Cell], of: LookedAt) -> tuple[dict[Place, LiveFinding], Stops]:
    """Every finding that settled at a look, and the runs of each cell all of whose pairs have settled."""
    settled: dict[Place, LiveFinding] = {}
    stops: Stops = {}
    most = max((len(cell.observations) for cell in cells), default=0)
    for look in (at for at in of.looks.at if at <= most):
        seen = judged_rows(first_runs(cells, stops, most=look), of.study)
        for row, judged in seen:
            if judged is not None and place_of(row) not in settled and runs_of(row) == look:
                found = _at_look(row, judged, look, of)
                if found.settled:
                    settled[place_of(row)] = found
        for test, setup in _all_settled([row for row, _ in seen], settled):
            stops.setdefault((test, setup), look)
    return settled, stops


def _all_settled(all_rows: Sequence[Row], settled: Mapping[Place, LiveFinding]) -> Iterator[tuple[str, str]]:
    open_rows = (row for row in all_rows if place_of(row) not in settled)
    still = {(row.a.test, s) for row in open_rows for s in (row.a.setup, row.b.setup)}
    for row in all_rows:
        yield from ((row.a.test, s) for s in (row.a.setup, row.b.setup) if (row.a.test, s) not in still)


def _at_look(row: Row, judged: Judged, look: int, of: LookedAt) -> LiveFinding:
    evidence = _evidence(row, judged, of)
    outcome = decide(evidence, margin=of.margin, alpha=of.looks.ahead)
    return _finding(row, judged, outcome, look, of)


def _evidence(row: Row, judged: Judged, of: LookedAt) -> Evidence:
    allowance = row.sessions.allowance if row.sessions else 0.0
    p = judged.difference.p_value(allowance=allowance)
    half = None if row.one_run else judged.difference.half_width(of.held_at)
    corrected = None if p is None else min(1.0, p * of.comparisons)
    return Evidence(effect=judged.difference.d, half_90=half, p=corrected, allowance=allowance)


def _open(row: Row, judged: Judged | None, of: LookedAt) -> LiveFinding:
    """An unsettled finding with all runs so far."""
    found = _finding(row, judged, Outcome.UNSETTLED, of.looks.passed(runs_of(row)), of)
    if judged is None or found.next_look is None:
        return found
    return replace(found, settle=_settle(row, judged, of))


def _finding(
    row: Row, judged: Judged | None, outcome: Outcome, look: int | None, of: LookedAt
) -> LiveFinding:
    level = 1.0 - of.looks.ahead
    d = judged.difference.d if judged else None
    half = judged.difference.half_width(level) if judged else None
    n, (low, high) = runs_of(row), ends(d, half)
    return LiveFinding(
        test=row.a.test, a=row.a.setup, b=row.b.setup, group=row.a.group, outcome=outcome, n=n, look=look,
        next_look=of.looks.after(n) if outcome is Outcome.UNSETTLED else None,
        ratio=None if d is None else from_log(d),
        low=low, high=high,
        level=level, allowance=row.sessions.allowance if row.sessions else 0.0,
    )  # fmt: skip


def _settle(row: Row, judged: Judged, of: LookedAt) -> Settle | None:
    """The further runs to the first look at which it would settle; `more_runs` None where no look would.

    At a look both sides have the same number of runs, whatever one of them has too many today.
    """
    difference, s, sessions = judged.difference, judged.sample, row.sessions
    if difference.se is None or sessions is None or sessions.beside:
        return None
    uneven = difference.rule is Rule.WELCH
    variance = difference.se**2 / s.scale
    fewer = min(s.n_a, s.n_b)
    question = Question(
        d=difference.d, n_a=fewer, n_b=fewer, margin=of.margin, alpha=of.looks.ahead,
        allowance=sessions.allowance, var_a=s.var_a if uneven else variance,
        var_b=s.var_b if uneven else variance, hypotheses=of.comparisons, prior_df=difference.prior_df,
        paired=s.paired, welch=uneven, level_alpha=of.looks.level,
    )  # fmt: skip
    n = runs_of(row)
    for more in (look - n for look in of.looks.at if look > n):
        if settles_with(question, math.ceil(more / sessions.runs_per_replicate)):
            each = of.minutes.get(row.a.test)
            return Settle(more_runs=more, minutes=None if each is None else 2 * more * each)
    return Settle(more_runs=None)
