"""A run that grows slower towards its end."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.triage.cells import ALONE, plain, run
from tests.triage.scenes import Slower, scene_take, seen, takes_beside

from evenhand.records.faults import Severity
from evenhand.triage.kinds.course import course_of_run, signs_of
from evenhand.triage.kinds.sag import KIND
from evenhand.triage.learned import Known, Learned


def sagging(size: float, seconds: float = 40.0) -> Slower:
    return lambda at_s: size * ((at_s / seconds - 0.3) / 0.4).clip(0, 1)


@pytest.mark.parametrize("size", [0.07, 0.10, 0.15])
@pytest.mark.parametrize("n", [3, 5])
def test_a_sag_of_7_per_cent_is_held_as_behaviour(size: float, n: int) -> None:
    ((name, fault),) = course_of_run(seen(takes_beside(scene_take(1, slower=sagging(size)), n)))
    assert (name, fault.kind, fault.severity, fault.behaviour) == ("1", KIND, Severity.IN_DOUBT, True)
    assert fault.numbers["slower_ln"] == pytest.approx(size, abs=0.02)


def test_without_sensors_it_may_be_heat_or_the_scene_and_a_sensor_log_would_tell() -> None:
    ((_, fault),) = course_of_run(seen(takes_beside(scene_take(1, slower=sagging(0.1)))))
    assert "may be heat, or a scene" in plain(fault.evidence)
    assert "Log clocks, temperature and power" in fault.todo


@pytest.mark.parametrize(("n", "known"), [(2, False), (5, True)])
def test_what_takes_usually_do_is_told_as_seen_only_where_other_takes_were_seen(n: int, known: bool) -> None:
    found = dict(course_of_run(seen(takes_beside(scene_take(1, slower=sagging(0.12)), n))))
    told = plain(found["1"].evidence)
    assert ("takes of this test usually drift apart by" in told) is known
    assert ("no other takes of this test are known; by default" in told) is not known


def test_the_note_on_the_only_sibling_is_one_sentence() -> None:
    found = dict(course_of_run(seen(takes_beside(scene_take(1, slower=sagging(0.12)), 2))))
    assert plain(found["2"].evidence).startswith(
        "Told of run 1, its only sibling: from its first to its last"
    )


@pytest.mark.parametrize("size", [0.0, 0.01, -0.1])
def test_small_drifts_and_runs_that_grow_quicker_are_no_sag(size: float) -> None:
    found = course_of_run(seen(takes_beside(scene_take(1, slower=sagging(size)))))
    assert [f.kind for i, f in found if i == "1" and f.kind == KIND] == []


def test_a_shorter_run_is_only_told() -> None:
    takes = [scene_take(i, seconds=7.0, slower=sagging(0.12, 7.0) if i == 1 else None) for i in range(1, 6)]
    ((_, fault),) = course_of_run(seen(tuple(run(str(i), t) for i, t in enumerate(takes, 1))))
    assert (fault.kind, fault.severity) == (KIND, Severity.NOTE)
    assert "so short a run" in plain(fault.evidence)


def test_takes_that_were_seen_to_drift_before_are_given_more_room() -> None:
    runs = takes_beside(scene_take(1, slower=sagging(0.06)), 3)
    wide = replace(ALONE, learned=Learned(runs=40, studies=4, sag=Known(value=0.03**2, weight=40.0)))

    def score(company: object) -> float:
        view = seen(runs, company)  # type: ignore[arg-type]
        sag = signs_of(view.runs[0], view).sag
        assert sag is not None
        return sag.score

    assert score(wide) < 1 < score(ALONE)


def test_what_costs_a_third_and_more_is_no_heat_but_a_stretch_to_the_end() -> None:
    ((name, fault),) = course_of_run(seen(takes_beside(scene_take(1, slower=lambda at_s: (at_s > 32) * 1.0))))
    assert (name, fault.kind) == ("1", "slow-stretch")
