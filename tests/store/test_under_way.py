"""Trials that run: the last state written down stands, until a record comes or nobody waits for one."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from tests.store.small_study import NOW, SETUP
from tests.store.test_trials import TRIAL

from evenhand.errors import BadRecord
from evenhand.records.trials import Outcome
from evenhand.records.under_way import UnderWay
from evenhand.store import trials
from evenhand.store.under_way import save_under_way, stands, told_of, under_way
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench

RUNNING = UnderWay(
    trial=replace(
        TRIAL, hours=0.1, outcome=Outcome.STOPPED, found_after_h=None, errors=0, at=None, note="", key="a",
        watts=None, watts_at=None,
    ),
    rig="device-1", begun_at=NOW, heard_at=NOW + timedelta(minutes=6),
)  # fmt: skip


def standing(wb: Workbench) -> list[str]:
    return [each.trial.key for each in under_way(wb, [SETUP.key])]


def test_it_comes_back_as_it_was_last_written_down(wb: Workbench) -> None:
    save_under_way(wb, RUNNING)
    later = replace(
        RUNNING, trial=replace(RUNNING.trial, hours=0.2, hottest_c=74.0),
        heard_at=NOW + timedelta(minutes=12), stop_at=NOW + timedelta(minutes=11), stop_by="phone",
    )  # fmt: skip
    save_under_way(wb, later)
    assert under_way(wb, [SETUP.key]) == (later,)
    assert told_of(wb, "a") == later
    assert told_of(wb, "b") is None
    assert check(wb.path).problems == ()


def test_once_its_record_has_come_it_runs_no_more(wb: Workbench) -> None:
    save_under_way(wb, RUNNING)
    assert stands(wb, "a")
    trials.add_trial(wb, replace(TRIAL, key="a"), at=NOW)
    assert standing(wb) == []
    assert not stands(wb, "a")


def test_a_trial_that_was_taken_back_has_ended_all_the_same(wb: Workbench) -> None:
    save_under_way(wb, RUNNING)
    kept = trials.add_trial(wb, replace(TRIAL, key="a"), at=NOW)
    trials.take_back_trial(wb, kept.id, "a slip", at=NOW)
    assert standing(wb) == []


def test_of_one_rig_only_the_last_that_it_began_can_run(wb: Workbench) -> None:
    save_under_way(wb, RUNNING)
    other = replace(RUNNING, trial=replace(RUNNING.trial, key="c"), rig="device-2")
    for each in (replace(RUNNING, trial=replace(RUNNING.trial, key="b")), other, RUNNING):
        save_under_way(wb, each)
    assert standing(wb) == ["b", "c"], "that the first was heard of again changes nothing"


def test_one_that_was_given_up_is_not_told_and_stays(wb: Workbench) -> None:
    save_under_way(wb, replace(RUNNING, given_up_at=NOW, given_up_why="its disk is gone"))
    assert standing(wb) == []
    found = told_of(wb, "a")
    assert found is not None
    assert found.given_up_why == "its disk is gone"


def test_what_is_changed_behind_our_back_is_found(wb: Workbench) -> None:
    save_under_way(wb, RUNNING)
    with wb.writing() as conn:
        conn.execute("UPDATE trials_under_way SET hours = 24")
    assert any("trials_under_way" in problem for problem in check(wb.path).problems)


def test_a_setup_that_is_not_on_record_is_refused(wb: Workbench) -> None:
    with pytest.raises(BadRecord, match="nothing"):
        save_under_way(wb, replace(RUNNING, trial=replace(RUNNING.trial, setup="nothing")))


def test_it_is_quiet_after_twenty_seconds_unless_it_has_ended() -> None:
    heard = RUNNING.heard_at
    assert not RUNNING.quiet(heard + timedelta(seconds=19))
    assert RUNNING.quiet(heard + timedelta(seconds=20))
    assert not replace(RUNNING, over=True).quiet(heard + timedelta(seconds=60))
