"""Answers as plain mappings, for JSON: the shapes that scripts rely on (docs/formats-json.md)."""

from __future__ import annotations

import math
from typing import Any

from evenhand.desk.bench.masking import DecidedMasked, MaskedRun
from evenhand.desk.logs.run_logs import LogFlaw
from evenhand.desk.on_record import RunOnRecord
from evenhand.desk.runs.deciding import Decided, RunHistory
from evenhand.desk.study.field_changes import FieldChange
from evenhand.findings.finding import Comparison, Exclusion, Finding, Index
from evenhand.records.faults import Fault, Ground
from evenhand.records.runs import Decision
from evenhand.store.rows import plain

Answer = dict[str, Any]


def comparison_answer(comparison: Comparison) -> Answer:
    """``compare --json``: findings for every test, metric and pair; indexes; left-out runs."""
    return {
        "study": comparison.study,
        "margin": comparison.margin,
        "findings": [finding_answer(f) for f in comparison.findings],
        "index": [index_answer(i) for i in comparison.indexes],
        "exclusions": [exclusion_answer(e) for e in comparison.exclusions],
    }


def finding_answer(finding: Finding) -> Answer:
    """One finding; `ratio` is a over b with better upward."""
    settle = finding.settle
    return {
        "test": finding.test,
        "metric": finding.metric,
        "a": finding.a,
        "b": finding.b,
        "outcome": finding.outcome.value,
        "ratio": finding.ratio,
        "low": finding.low,
        "high": finding.high,
        "level": finding.level,
        "n_a": finding.n_a,
        "n_b": finding.n_b,
        "method": finding.method,
        "caveats": [caveat.told() for caveat in finding.caveats],
        "measurably": finding.measurably,
        "perhaps_small": finding.perhaps_small,
        "bridged_by": list(finding.bridged_by),
        "bound_low": finding.bound_low,
        "bound_high": finding.bound_high,
        "p": finding.p,
        "p_holm": finding.p_holm,
        "headline": finding.headline,
        "group": finding.group,
        "settle": None if settle is None else {"more_runs": settle.more_runs, "minutes": settle.minutes},
    }


def index_answer(index: Index) -> Answer:
    """One index; group "" is over all tests."""
    return {
        "group": index.group,
        "a": index.a,
        "b": index.b,
        "outcome": index.outcome.value,
        "ratio": index.ratio,
        "low": index.low,
        "high": index.high,
        "level": index.level,
        "predicted_low": index.predicted_low,
        "predicted_high": index.predicted_high,
        "bound_low": index.bound_low,
        "bound_high": index.bound_high,
        "sample_low": index.sample_low,
        "sample_high": index.sample_high,
        "tests": list(index.tests),
        "missing": list(index.missing),
        "method": index.method,
        "leave_one_out": [
            {
                "test": out.test,
                "ratio": out.ratio,
                "low": out.low,
                "high": out.high,
                "outcome": out.outcome.value,
                "flips": out.flips,
            }
            for out in index.left_out
        ],
        "caveats": [caveat.told() for caveat in index.caveats],
        "perhaps_small": index.perhaps_small,
        "bridged_by": list(index.bridged_by),
    }


def exclusion_answer(exclusion: Exclusion) -> Answer:
    """One left-out run: what the study says without it, with it, and as its setup's only run."""
    return {
        "run": exclusion.run,
        "test": exclusion.test,
        "setup": exclusion.setup,
        "value": exclusion.value,
        "findings_without": [finding_answer(f) for f in exclusion.findings_without],
        "findings_with": [finding_answer(f) for f in exclusion.findings_with],
        "index_without": [index_answer(i) for i in exclusion.indexes_without],
        "index_with": [index_answer(i) for i in exclusion.indexes_with],
        "index_only": [index_answer(i) for i in exclusion.indexes_only],
    }


def run_answer(each: RunOnRecord) -> Answer:
    """One run, its numbers, and its faults with their evidence."""
    run, decision = each.run, each.decision
    return {
        "id": run.id,
        "test": run.test,
        "setup": run.setup,
        "state": each.state.value,
        "label": run.label,
        "boot": run.boot,
        "order": run.order,
        "started_at": run.started_at.isoformat() if run.started_at else None,
        "ambient_c": run.ambient_c,
        "wall_w": run.wall_w,
        "stamps": dict(run.stamps),
        "window": None if run.window is None else plain(run.window),
        "metrics": {key: value for key, value in each.metrics.values.items() if math.isfinite(value)},
        "within_run": {key: list(bounds) for key, bounds in each.metrics.within_run.items()},
        "absent": dict(each.metrics.absent),
        "faults": [fault_answer(fault) for fault in each.faults],
        "reason": decision.reason.value if decision and decision.reason else None,
        "note": decision.note if decision else "",
        "named": each.named,
    }


def history_answer(history: RunHistory) -> Answer:
    """``run --json``: the run with the definitions of its numbers and everything decided about it."""
    return {
        **run_answer(history.run),
        "log_names": list(history.log_names),
        "definitions": {d.key: {"unit": d.unit, "meaning": d.meaning} for d in history.definitions},
        "flaws": [flaw_answer(flaw) for flaw in history.logs.flaws],
        "sensors_joined": history.logs.sensors_joined or None,
        "unjudged": list(history.unjudged),
        "decisions": [decision_answer(decision) for decision in history.decisions],
    }


def decided_answer(told: Decided | DecidedMasked) -> Answer:
    """``keep``, ``set-aside``, ``replace``, ``reopen``: the run as it stands now, and what else changed."""
    if isinstance(told, DecidedMasked):
        return {
            "run": masked_answer(told.run),
            "also": [masked_answer(each) for each in told.also],
            "warnings": list(told.warnings),
        }
    return {
        "run": run_answer(told.run),
        "also": [run_answer(each) for each in told.also],
        "warnings": list(told.warnings),
    }


def fault_answer(fault: Fault) -> Answer:
    """One fault; places are seconds from the run's start."""
    return {
        "kind": fault.kind,
        "title": fault.title,
        "severity": fault.severity.value,
        "evidence": fault.evidence,
        "todo": fault.todo,
        "numbers": {key: value for key, value in fault.numbers.items() if math.isfinite(value)},
        "places": [[place.from_s, place.to_s] for place in fault.places],
        "siblings": list(fault.siblings),
        "behaviour": fault.behaviour,
    }


def flaw_answer(flaw: LogFlaw) -> Answer:
    """Something odd in one of a run's logs."""
    return {
        "log": flaw.log.value,
        "kind": flaw.kind,
        "meaning": flaw.meaning,
        "detail": flaw.detail,
        "line": flaw.line,
        "count": flaw.count,
    }


def decision_answer(decision: Decision) -> Answer:
    """One decision about a run, with the faults that were on show when it was made."""
    return {
        "at": decision.at.isoformat(),
        "state": decision.state.value,
        "reason": decision.reason.value if decision.reason else None,
        "note": decision.note,
        "over": list(decision.over),
        "masked": decision.masked,
        "grounds": [ground_answer(ground) for ground in decision.grounds],
    }


def ground_answer(ground: Ground) -> Answer:
    """One fault as it was told when a decision was made."""
    return {
        "kind": ground.kind,
        "title": ground.title,
        "severity": ground.severity.value,
        "evidence": ground.evidence,
        "numbers": {key: value for key, value in ground.numbers.items() if math.isfinite(value)},
    }


def change_answer(change: FieldChange) -> Answer:
    """One change of one field of a record."""
    return {
        "at": change.at.isoformat(),
        "record": change.record,
        "key": change.key,
        "field": change.field,
        "before": change.before,
        "after": change.after,
    }


def masked_answer(run: MaskedRun) -> Answer:
    """One run while names are masked: what was found in it and what was decided, nothing else."""
    return {
        "id": run.id,
        "test": run.test,
        "setup": run.setup,
        "state": run.state.value,
        "faults": [fault_answer(fault) for fault in run.faults],
        "reason": run.reason.value if run.reason else None,
        "note": run.note,
        **({} if run.unjudged is None else {"unjudged": list(run.unjudged)}),
    }
