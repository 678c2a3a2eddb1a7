"""A study's cells into findings and indexes."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from evenhand.findings.caveats import not_reached, row_caveats, unequal_spread
from evenhand.findings.finding import Caveat, Cell, Comparison, Finding, Outcome, Settle
from evenhand.findings.indexes import Entry, indexes
from evenhand.findings.outcomes import (
    ALPHA,
    LEVEL_INTERVAL,
    SHOWN_INTERVAL,
    Evidence,
    decide,
    ends,
    from_log,
    is_measurable,
    may_be_small,
)
from evenhand.findings.rows import Row, rows
from evenhand.findings.sessions import Replicates, Sessions
from evenhand.records.studies import Study
from evenhand.stats.between import Difference, Rule, Sample, blocks_show, differences, less, sample
from evenhand.stats.contrasts import contrasts, means_of
from evenhand.stats.families import holm, hypotheses_left
from evenhand.stats.settle import MOST_RUNS, Question, more_runs
from evenhand.stats.spread import learn_spread


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """A row with its difference and its p-value, before and after Holm.

    `left` is Holm's factor, `family` how many comparisons of the study are counted together.
    """

    row: Row
    sample: Sample
    difference: Difference
    p: float | None = None
    p_holm: float | None = None
    left: int = 1
    family: int = 1


def compare_study(
    cells: Sequence[Cell], *, study: Study, minutes: Mapping[str, float] | None = None
) -> Comparison:
    """All pairs of the study's setups over all its tests and metrics; a pair's first setup is a.

    `minutes` gives the length of one run by test, for what would settle a finding.

    Spread is learned by pair, metric and sort of replicate: a third setup then changes nothing in what is
    said of the other two but Holm's factor, a noisy setup does not colour a quiet pair, and boot means
    are never judged by the spread of runs within a boot. A single run, which has a boot's error in it,
    borrows from boots where there are any. Blocks are analysed as pairs where they show a shared error.
    Holm's family is every finding of the study that has an interval from repeats: all pairs, tests and
    metrics. Raises NotComparable (see `rows`).

    >>> from evenhand.findings.finding import Cell, Observation
    >>> def cell(setup, *fps):
    ...     seen = (Observation(run=f"{setup}{i}", value=v, boot=f"{i}", order=i) for i, v in enumerate(fps))
    ...     return Cell(test="t", setup=setup, metric="fps", better="higher", observations=tuple(seen))
    >>> study = Study(key="s", title="S", setups=("p", "d"), tests=("t",))
    >>> made = compare_study([cell("p", 110, 111, 109), cell("d", 100, 101, 99)], study=study)
    >>> made.findings[0].outcome, round(made.findings[0].ratio, 2)
    (<Outcome.AHEAD: 'ahead'>, 1.1)
    """
    all_rows = paired_where_it_shows(rows(cells, study=study))
    judged = _with_p_values(judge(all_rows))
    margin = math.log1p(study.margin)
    findings = [
        _finding(row, judged.get(i), margin=margin, minutes=minutes or {}) for i, row in enumerate(all_rows)
    ]
    entries = [
        Entry(finding=finding, row=row, difference=judged[i].difference if i in judged else None)
        for i, (row, finding) in enumerate(zip(all_rows, findings, strict=True))
        if row.a.headline
    ]
    return Comparison(
        study=study.key, margin=study.margin, findings=tuple(findings),
        indexes=indexes(entries, study=study), spread=_spreads(judged.values()),
    )  # fmt: skip


def paired_where_it_shows(all_rows: Sequence[Row]) -> tuple[Row, ...]:
    """Rows in blocks stay paired only where the pair's tests together show an error shared within blocks."""
    blocked: dict[tuple[str, str, str], list[Sessions]] = defaultdict(list)
    for row in all_rows:
        if row.sessions and row.sessions.kind is Replicates.BLOCKS and not row.locked:
            blocked[_pair(row)].append(row.sessions)
    shown = {pair for pair, found in blocked.items() if blocks_show([(s.logs_a, s.logs_b) for s in found])}
    return tuple(row if _pair(row) in shown else _unpaired(row) for row in all_rows)


def _unpaired(row: Row) -> Row:
    if row.sessions is None or row.sessions.kind is not Replicates.BLOCKS:
        return row
    return replace(row, sessions=replace(row.sessions, kind=Replicates.BOOTS))


def judge(all_rows: Sequence[Row]) -> dict[int, Judged]:
    """Differences by row number, spread learned within each pair, metric and sort of replicate."""
    families: dict[tuple[str, str, str, bool, bool], list[tuple[int, Row, Sample]]] = defaultdict(list)
    usable = [(i, row, row.sessions) for i, row in enumerate(all_rows) if row.sessions and not row.locked]
    with_boots = {_pair(row) for _, row, sessions in usable if sessions.by_boot}
    for i, row, sessions in usable:
        by_boot = sessions.by_boot or (row.one_run and _pair(row) in with_boots)
        families[*_pair(row), by_boot, row.beside is not None].append((i, row, _sample(sessions)))
    judged: dict[int, Judged] = {}
    for members in families.values():
        found = _differences(members)
        for (i, row, s), difference in zip(members, found, strict=True):
            judged[i] = Judged(row=row, sample=s, difference=difference)
    return judged


def _differences(members: Sequence[tuple[int, Row, Sample]]) -> tuple[Difference, ...]:
    """What rows of one family differ by; four cells a row where the two meet over a bridge."""
    if members[0][1].beside is None:
        return differences([s for _, _, s in members])
    read = [(s, s.beside) for _, row, _ in members if (s := row.sessions) and s.beside]
    means = [means_of([s.logs_a, s.logs_b, bridge.logs_a, bridge.logs_b]) for s, bridge in read]
    return contrasts(means, [(1.0, -1.0, -1.0, 1.0)] * len(means))


def _pair(row: Row) -> tuple[str, str, str]:
    return row.a.setup, row.b.setup, row.a.metric


def _sample(sessions: Sessions) -> Sample:
    own = sample(sessions.logs_a, sessions.logs_b, paired=sessions.kind is Replicates.BLOCKS)
    if sessions.beside is None:
        return own
    return less(own, sample(sessions.beside.logs_a, sessions.beside.logs_b))


def _with_p_values(judged: Mapping[int, Judged]) -> dict[int, Judged]:
    """The same with p and Holm's p; a single run on a side takes no part: nothing is claimed of it."""
    p_values = {i: _p_value(j) for i, j in judged.items() if not j.row.one_run}
    family = {i: p for i, p in p_values.items() if p is not None}
    adjusted, left = holm(list(family.values())), hypotheses_left(list(family.values()))
    done = dict(judged)
    for place, (i, p) in enumerate(family.items()):
        j = judged[i]
        done[i] = Judged(
            row=j.row, sample=j.sample, difference=j.difference,
            p=p, p_holm=float(adjusted[place]), left=int(left[place]), family=len(family),
        )  # fmt: skip
    return done


def _p_value(judged: Judged) -> float | None:
    return judged.difference.p_value(allowance=_allowance(judged.row))


def _allowance(row: Row) -> float:
    return row.sessions.allowance if row.sessions else 0.0


def _finding(row: Row, judged: Judged | None, *, margin: float, minutes: Mapping[str, float]) -> Finding:
    half, outcome, bounds = None, Outcome.UNSETTLED, None
    if judged:
        evidence = _evidence(judged)
        half = judged.difference.half_width(SHOWN_INTERVAL)
        outcome, bounds = decide(evidence, margin=margin), evidence.bounds
    bound_low, bound_high = bounds or (None, None)
    d = _effect(row, judged)
    low, high = ends(d, half)
    return Finding(
        test=row.a.test, metric=row.a.metric, a=row.a.setup, b=row.b.setup, outcome=outcome,
        ratio=None if d is None else from_log(d),
        low=low, high=high,
        level=SHOWN_INTERVAL, n_a=len(row.a.observations), n_b=len(row.b.observations),
        method=_method(row, judged), p=judged.p if judged else None, p_holm=judged.p_holm if judged else None,
        headline=row.a.headline, group=row.a.group,
        bound_low=bound_low, bound_high=bound_high,
        measurably=is_measurable(outcome, judged.p_holm if judged else None),
        caveats=_caveats(row, judged, outcome),
        settle=_settle(judged, margin=margin, minutes=minutes.get(row.a.test))
        if judged and outcome is Outcome.UNSETTLED else None,
        perhaps_small=may_be_small(outcome, (low, high, bound_low, bound_high), margin=margin),
        bridged_by=row.bridged_by,
    )  # fmt: skip


def _evidence(judged: Judged) -> Evidence:
    half = judged.difference.half_width(LEVEL_INTERVAL)
    return Evidence(
        effect=judged.difference.d, half_90=None if judged.row.one_run else half, p=judged.p_holm,
        allowance=_allowance(judged.row),
    )  # fmt: skip


def _effect(row: Row, judged: Judged | None) -> float | None:
    if judged:
        return judged.difference.d
    return _sample(row.sessions).d if row.sessions else None


def _method(row: Row, judged: Judged | None) -> str:
    if row.locked:
        return "none: held at a declared rate"
    if judged is None:
        return "none: no ratio" if row.a.observations and row.b.observations else "none: no runs"
    rule, kind = judged.difference.rule, row.sessions.kind if row.sessions else Replicates.RUNS
    if rule is Rule.NONE:
        return "none: one run" if row.one_run else "none: runs all alike"
    if rule is Rule.BORROWED:
        return rule.value
    t = {Rule.MODERATED: "moderated t", Rule.OWN: "t on own spread", Rule.WELCH: "Welch's t"}[rule]
    return f"{t} over {kind.value}{', bridged' if row.beside else ''}"


def _caveats(row: Row, judged: Judged | None, outcome: Outcome) -> tuple[Caveat, ...]:
    found = [*row_caveats(row), *(row.sessions.caveats if row.sessions and not row.locked else ())]
    if judged and judged.difference.rule is Rule.WELCH:
        found.append(unequal_spread(judged.sample, row))
    if judged and judged.difference.rule is Rule.NONE and not row.one_run:
        words = "every run of a setup gave the same number: their spread, and so any interval, is unknown"
        found.append(Caveat(key="runs-alike", words=words))
    if judged and outcome is Outcome.UNSETTLED:
        found += _withheld(judged)
    return tuple(found)


def _withheld(judged: Judged) -> list[Caveat]:
    """Why a difference whose interval clears 1 is not called: the allowance, or what p is held to.

    The interval stands at 95 % for this comparison alone; ahead and behind ask for p < ALPHA, over all
    comparisons of the study.
    """
    half = judged.difference.half_width(SHOWN_INTERVAL)
    if half is None or judged.p is None or judged.p_holm is None or judged.p_holm < ALPHA:
        return []
    clear_by = abs(judged.difference.d) - half
    if clear_by <= 0:
        return []
    if clear_by <= _allowance(judged.row):
        words = "a difference is measurable, but within what the allowance cannot exclude"
        return [Caveat(key="ahead-withheld", words=words)]
    return [Caveat(key="family-withheld", words=not_reached(judged.p, judged.p_holm, judged.family))]


def _settle(judged: Judged, *, margin: float, minutes: float | None) -> Settle | None:
    """What would settle it at today's difference and spread; None where no spread is known.

    Nor is it said across a bridge, whose own error stays whatever is run on the two.
    """
    difference, s, sessions = judged.difference, judged.sample, judged.row.sessions
    if difference.se is None or sessions is None or sessions.beside:
        return None
    uneven = difference.rule is Rule.WELCH
    variance = difference.se**2 / s.scale
    question = Question(
        d=difference.d, n_a=s.n_a, n_b=s.n_b, margin=margin, alpha=ALPHA, allowance=sessions.allowance,
        var_a=s.var_a if uneven else variance, var_b=s.var_b if uneven else variance,
        hypotheses=judged.left, prior_df=difference.prior_df, paired=s.paired, welch=uneven,
        most=MOST_RUNS // sessions.runs_per_replicate,
    )  # fmt: skip
    more = more_runs(question)
    if more is None:
        return Settle(more_runs=None)
    runs = more * sessions.runs_per_replicate
    return Settle(more_runs=runs, minutes=None if minutes is None else 2 * runs * minutes)


def _spreads(judged: Collection[Judged]) -> dict[str, float]:
    """The common spread of a replicate by metric, as a standard deviation of logs."""
    by_metric: dict[str, list[Sample]] = defaultdict(list)
    for j in judged:
        by_metric[j.row.a.metric].append(j.sample)
    learned = {m: learn_spread([s.variance for s in ss], [s.df for s in ss]) for m, ss in by_metric.items()}
    return {m: math.sqrt(spread.variance) for m, spread in learned.items() if spread}
