"""Tests judged in a further process: the very same verdicts, in the same order, whatever becomes of it."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace

import pytest

from evenhand.desk.runs import deputies as deputies_of
from evenhand.desk.runs.candidates import Loader
from evenhand.desk.runs.deputies import RUNS_WORTH_ONE, Deputy, deputies_for, in_order, worth
from evenhand.desk.runs.judging import Around, Cells, Verdicts
from evenhand.desk.runs.triaging import around_study, triage_test
from evenhand.records.tests import Test
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench


@dataclass
class Study:
    """A study to be judged, and which of its tests were judged in this process."""

    around: Around
    own: frozenset[str]
    loader: Loader
    here: list[str]

    @property
    def due(self) -> list[Test]:
        return list(self.around.record.tests.values())

    def load(self, test: Test) -> Cells:
        return self.loader.cells(self.around.record, test)

    def judge(self, test: Test) -> Verdicts:
        self.here.append(test.key)
        return triage_test(self.around, test, self.loader, own=self.own)

    def judged(self, *deputies: Deputy) -> list[tuple[str, Verdicts]]:
        found = in_order(self.due, deputies, here=self.judge, load=self.load)
        return [(test.key, verdicts) for test, verdicts in found]


@pytest.fixture
def study(stocked: Workbench) -> Study:
    return Study(
        around=around_study(stocked, "quay"),
        own=run_store.first_stored_in(stocked, "quay"),
        loader=Loader(wb=stocked, sensor_logs={}),
        here=[],
    )


@pytest.fixture
def deputy(study: Study) -> Iterator[Deputy]:
    one = Deputy(study.around, study.own)
    yield one
    one.dismiss()


def test_a_deputy_finds_the_very_same_in_the_same_order(study: Study, deputy: Deputy) -> None:
    alone = study.judged()
    study.here.clear()
    assert study.judged(deputy) == alone
    assert len(study.here) < len(alone) == 3


def test_what_a_deputy_that_is_no_more_was_given_is_judged_here(study: Study, deputy: Deputy) -> None:
    alone = study.judged()
    deputy._child.kill()
    study.here.clear()
    assert study.judged(deputy) == alone
    assert sorted(study.here) == sorted(test.key for test in study.due)


def test_a_dismissed_deputy_has_ended(study: Study) -> None:
    one = Deputy(study.around, study.own)
    one.judge(study.due[0], study.load(study.due[0]))
    one.dismiss()
    assert one._child.ended


def test_a_small_study_starts_none(study: Study) -> None:
    with deputies_for(study.around, study.due, own=study.own) as deputies:
        assert deputies == []


@pytest.mark.parametrize(
    ("cores", "runs", "pay"),
    [
        (1, 10 * RUNS_WORTH_ONE, 0),
        (2, RUNS_WORTH_ONE - 1, 0),
        (2, RUNS_WORTH_ONE, 1),
        (8, 10 * RUNS_WORTH_ONE, 1),  # two tests with frames: one for the deputy, one for this process
    ],
)
def test_as_many_pay_as_there_are_cores_runs_and_tests(
    study: Study, monkeypatch: pytest.MonkeyPatch, cores: int, runs: int, pay: int
) -> None:
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: range(cores), raising=False)
    framed = [each for each in study.around.record.runs if each.run.test != "render"]
    record = replace(study.around.record, runs=tuple((framed * runs)[:runs]))
    assert worth(replace(study.around, record=record), study.due) == pay


def test_none_is_started_where_there_is_no_interpreter(study: Study, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "")
    many = replace(study.around, record=replace(study.around.record, runs=study.around.record.runs * 100))
    assert worth(many, study.due) == 0


def test_without_room_for_a_process_all_is_judged_here(study: Study, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(deputies_of, "worth", lambda *_: 1)
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    with deputies_for(study.around, study.due, own=study.own) as deputies:
        assert deputies == []
