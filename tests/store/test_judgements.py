"""Metrics, faults, decisions, results and traces of runs."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import timedelta

import pytest
from tests.store.small_study import FAULT, METRICS, NOW, run_named

from evenhand.errors import BadRecord, NotFound, StoreProblem
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.records.faults import Ground, Severity
from evenhand.records.runs import Decision, Reason, RunState
from evenhand.store.decisions import add_decision, decisions_of_run, latest_decisions
from evenhand.store.faults import faults_of, faults_of_run, save_faults, unjudged_tests
from evenhand.store.history import history_of
from evenhand.store.metrics import metrics_of, metrics_of_run, save_metrics
from evenhand.store.results import freeze, results_of
from evenhand.store.rows import Saved
from evenhand.store.runs import save_run
from evenhand.store.traces import packed_trace, save_trace
from evenhand.store.workbench import Workbench

LATER = NOW + timedelta(hours=2)


@pytest.fixture(autouse=True)
def two_runs(wb: Workbench) -> None:
    for name in ("r2", "r1"):
        save_run(wb, run_named(name), now=NOW)


def test_metrics_come_back_with_interval_reason_and_code_version(wb: Workbench) -> None:
    assert save_metrics(wb, "r1", METRICS, code_version="0.1", now=NOW) is Saved.NEW
    found = metrics_of_run(wb, "r1")
    assert found is not None
    assert (found.metrics, found.code_version, found.at) == (METRICS, "0.1", NOW)


def test_the_same_metrics_by_the_same_code_are_left_alone(wb: Workbench) -> None:
    save_metrics(wb, "r1", METRICS, code_version="0.1", now=NOW)
    assert save_metrics(wb, "r1", METRICS, code_version="0.1", now=LATER) is Saved.SAME
    assert save_metrics(wb, "r1", METRICS, code_version="0.2", now=LATER) is Saved.CHANGED


def test_new_metrics_replace_all_the_old_ones(wb: Workbench) -> None:
    save_metrics(wb, "r1", METRICS, code_version="0.1", now=NOW)
    fewer = RunMetrics(values={"score": 4.05})
    assert save_metrics(wb, "r1", fewer, code_version="0.1", now=LATER) is Saved.CHANGED
    assert metrics_of(wb, "saltmarsh")["r1"].metrics == fewer


def test_a_study_s_metrics_come_in_one_query_in_order_of_arrival(wb: Workbench) -> None:
    save_metrics(wb, "r1", METRICS, code_version="0.1", now=NOW)
    save_metrics(wb, "r2", RunMetrics(values={}), code_version="0.1", now=NOW)
    found = metrics_of(wb, "saltmarsh")
    assert list(found) == ["r2", "r1"]
    assert (found["r1"].metrics, found["r2"].metrics) == (METRICS, RunMetrics(values={}))
    assert metrics_of(wb, "autumn") == {}


def test_tests_of_which_a_run_was_not_judged_are_told_once_each(wb: Workbench) -> None:
    test = run_named("r1").test
    assert unjudged_tests(wb) == (("saltmarsh", test),)
    save_faults(wb, "r1", [FAULT], code_version="0.1", now=NOW)
    assert unjudged_tests(wb) == (("saltmarsh", test),)
    save_faults(wb, "r2", [], code_version="0.1", now=NOW)
    assert unjudged_tests(wb) == ()


def test_numbers_that_are_not_finite_come_back(wb: Workbench) -> None:
    save_metrics(wb, "r1", RunMetrics(values={"a": math.inf, "b": math.nan}), code_version="0.1", now=NOW)
    values = metrics_of(wb, "saltmarsh")["r1"].metrics.values
    assert values["a"] == math.inf
    assert math.isnan(values["b"])


def test_an_unmeasured_run_has_no_metrics(wb: Workbench) -> None:
    assert metrics_of_run(wb, "r1") is None
    assert metrics_of(wb, "saltmarsh") == {}


def test_metrics_of_an_unknown_run_are_refused(wb: Workbench) -> None:
    with pytest.raises(BadRecord, match="run 'r9' is not among the runs on record"):
        save_metrics(wb, "r9", METRICS, code_version="0.1", now=NOW)


def test_faults_come_back_in_order_with_all_their_evidence(wb: Workbench) -> None:
    other = replace(FAULT, kind="zero", severity=Severity.BLOCKS, behaviour=True, places=(), siblings=())
    odd = replace(FAULT, kind="gap", numbers={"ratio": math.inf, "count": 3.0})
    assert save_faults(wb, "r1", [FAULT, other, odd], code_version="0.1", now=NOW) is Saved.NEW
    found = faults_of_run(wb, "r1")
    assert found is not None
    assert (found.faults, found.code_version, found.at) == ((FAULT, other, odd), "0.1", NOW)


def test_no_fault_is_a_finding_too(wb: Workbench) -> None:
    assert faults_of_run(wb, "r1") is None
    save_faults(wb, "r1", [], code_version="0.1", now=NOW)
    assert faults_of(wb, "saltmarsh")["r1"].faults == ()


def test_triage_again_replaces_what_it_found_before(wb: Workbench) -> None:
    save_faults(wb, "r1", [FAULT], code_version="0.1", now=NOW)
    save_faults(wb, "r2", [FAULT], code_version="0.1", now=NOW)
    assert save_faults(wb, "r1", [FAULT], code_version="0.1", now=LATER) is Saved.SAME
    assert save_faults(wb, "r1", [], code_version="0.1", now=LATER) is Saved.CHANGED
    found = faults_of(wb, "saltmarsh")
    assert (found["r1"].faults, found["r2"].faults) == ((), (FAULT,))


def test_the_latest_decision_stands_and_earlier_ones_stay(wb: Workbench) -> None:
    aside = Decision(
        run="r1",
        at=NOW,
        state=RunState.SET_ASIDE,
        reason=Reason.RATE_CAP,
        note="cap on",
        over=("cap",),
        masked=True,
        grounds=(
            Ground(
                kind="cap",
                title="Cap",
                severity=Severity.IN_DOUBT,
                evidence="Held at 144.0 fps.",
                numbers={"rate_fps": 144.0, "share": float("inf")},
            ),
        ),
    )
    kept = Decision(run="r1", at=LATER, state=RunState.KEPT)
    add_decision(wb, aside)
    add_decision(wb, kept)
    assert latest_decisions(wb, "saltmarsh") == {"r1": kept}
    assert decisions_of_run(wb, "r1") == (aside, kept)


def test_a_decision_about_an_unknown_run_is_refused(wb: Workbench) -> None:
    with pytest.raises(BadRecord, match="run 'r9' is not among the runs on record"):
        add_decision(wb, Decision(run="r9", at=NOW, state=RunState.KEPT))


def test_an_identical_result_is_frozen_once(wb: Workbench) -> None:
    first = freeze(wb, "saltmarsh", code_version="0.1", input_hash="ab", body='{"level": 1}', at=NOW)
    again = freeze(wb, "saltmarsh", code_version="0.1", input_hash="ab", body='{"level": 1}', at=LATER)
    assert again == first
    assert (first.study, first.body, first.at) == ("saltmarsh", '{"level": 1}', NOW)


@pytest.mark.parametrize("change", [{"code_version": "0.2"}, {"input_hash": "cd"}, {"body": "{}"}])
def test_another_result_is_another_row(wb: Workbench, change: dict[str, str]) -> None:
    given = {"code_version": "0.1", "input_hash": "ab", "body": '{"level": 1}'}
    first = freeze(wb, "saltmarsh", **given, at=NOW)
    second = freeze(wb, "saltmarsh", **{**given, **change}, at=LATER)
    assert results_of(wb, "saltmarsh") == (first, second)


@pytest.mark.parametrize("table", ["decisions", "results", "history"])
@pytest.mark.parametrize("statement", ["DELETE FROM {}", "UPDATE {} SET at = ''"])
def test_the_file_itself_refuses_to_change_the_record(wb: Workbench, table: str, statement: str) -> None:
    add_decision(wb, Decision(run="r1", at=NOW, state=RunState.KEPT))
    freeze(wb, "saltmarsh", code_version="0.1", input_hash="ab", body="{}", at=NOW)
    with pytest.raises(StoreProblem, match="only ever added to"), wb.writing() as conn:
        conn.execute(statement.format(table))
    assert len(decisions_of_run(wb, "r1")) == len(results_of(wb, "saltmarsh")) == 1
    assert len(history_of(wb, "runs", "r1")) == 1


def test_traces_are_kept_by_run(wb: Workbench) -> None:
    assert save_trace(wb, "r1", b"one") is Saved.NEW
    assert save_trace(wb, "r1", b"one") is Saved.SAME
    assert save_trace(wb, "r1", b"two") is Saved.CHANGED
    save_trace(wb, "r2", b"three")
    assert packed_trace(wb, "r1") == b"two"
    assert packed_trace(wb, "r2") == b"three"


def test_a_run_without_trace_is_told_apart(wb: Workbench) -> None:
    with pytest.raises(NotFound, match="run 'r1' has no trace"):
        packed_trace(wb, "r1")
