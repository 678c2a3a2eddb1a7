"""A run's marks are others as soon as anything about it is, and only then."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

import pytest
from tests.store.small_study import FAULT, METRICS, NOW, STUDY, run_named

from evenhand.metrics.run_metrics import RunMetrics
from evenhand.store.faults import save_faults
from evenhand.store.marks import marks_of
from evenhand.store.metrics import save_metrics
from evenhand.store.runs import save_run
from evenhand.store.workbench import Workbench

LATER = NOW + timedelta(hours=2)


@pytest.fixture(autouse=True)
def two_runs(wb: Workbench) -> None:
    for name in ("r2", "r1"):
        save_run(wb, run_named(name), now=NOW)
        save_metrics(wb, name, METRICS, code_version="0.1", now=NOW)
        save_faults(wb, name, [FAULT], code_version="0.1", now=NOW)


def test_runs_come_in_order_of_arrival(wb: Workbench) -> None:
    assert list(marks_of(wb, STUDY.key)) == ["r2", "r1"]


@pytest.mark.parametrize(
    "change",
    [
        lambda wb: save_run(wb, replace(run_named("r1"), ambient_c=31.0), now=LATER),
        lambda wb: save_metrics(wb, "r1", RunMetrics(values={"score": 9.0}), code_version="0.1", now=LATER),
        lambda wb: save_metrics(wb, "r1", METRICS, code_version="0.2", now=LATER),
        lambda wb: save_faults(wb, "r1", [], code_version="0.1", now=LATER),
        lambda wb: save_faults(wb, "r1", [replace(FAULT, evidence="less")], code_version="0.1", now=LATER),
    ],
    ids=["fact", "number", "code", "no fault", "evidence"],
)
def test_a_change_of_one_run_changes_its_marks_alone(
    wb: Workbench, change: Callable[[Workbench], object]
) -> None:
    before = marks_of(wb, STUDY.key)
    change(wb)
    after = marks_of(wb, STUDY.key)
    assert after["r1"] != before["r1"]
    assert after["r2"] == before["r2"]


def test_storing_the_same_again_changes_nothing(wb: Workbench) -> None:
    before = marks_of(wb, STUDY.key)
    save_metrics(wb, "r1", METRICS, code_version="0.1", now=LATER)
    save_faults(wb, "r1", [FAULT], code_version="0.1", now=LATER)
    assert marks_of(wb, STUDY.key) == before
