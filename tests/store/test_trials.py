"""Tuned parts, limits and trials come back as they were; what is taken back counts no more, and stays."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from tests.store.small_study import NOW, SETUP

from evenhand.errors import BadRecord, NotFound
from evenhand.records.trials import Limit, Meter, Outcome, Quantity, Trial, Tuned
from evenhand.store import trials, tuned
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench

PART = Tuned(
    setup=SETUP.key, part="processor", stock_clock_mhz=4550.0, stock_voltage_mv=1200.0, clock_step_mhz=50.0,
    voltage_step_mv=5.0, offset=True, hottest_room_c=30.0,
)  # fmt: skip
LIMIT = Limit(quantity=Quantity.VOLTAGE, most=1350.0, source="data sheet", read_on=date(2031, 5, 2))
TRIAL = Trial(
    setup=SETUP.key, part="processor", clock_mhz=4600.0, voltage_mv=-15.0, load="integers", hours=0.1,
    outcome=Outcome.CRASH, planned_h=0.5, found_after_h=0.2, errors=3, settings={"load-line": "level 4"},
    room_c=24.0, hottest_c=71.5, at=NOW, note="screen black", by="left bench", key="b-17",
)  # fmt: skip


def limits(wb: Workbench) -> tuple[Limit, ...]:
    (found,) = tuned.tuned_parts(wb, [SETUP.key])
    return found.limits


def test_the_last_that_was_noted_of_a_part_stands_with_its_limits(wb: Workbench) -> None:
    assert tuned.save_tuned(wb, PART, at=NOW)
    assert not tuned.save_tuned(wb, PART, at=NOW), "it stands there so already"
    later = replace(PART, hottest_room_c=33.0)
    assert tuned.save_tuned(wb, later, at=NOW)
    kept = tuned.add_limit(wb, SETUP.key, "processor", LIMIT, at=NOW)
    assert tuned.tuned_parts(wb, [SETUP.key]) == (replace(later, limits=(kept,)),)


def test_a_limit_that_is_taken_back_counts_no_more_and_stays_on_record(wb: Workbench) -> None:
    tuned.save_tuned(wb, PART, at=NOW)
    low = tuned.add_limit(wb, SETUP.key, "processor", replace(LIMIT, most=1250.0), at=NOW)
    kept = tuned.add_limit(wb, SETUP.key, "processor", LIMIT, at=NOW)
    assert tuned.add_limit(wb, SETUP.key, "processor", LIMIT, at=NOW) == kept
    tuned.take_back_limit(wb, low.id, "another part's", at=NOW)
    assert limits(wb) == (kept,)
    assert tuned.limits_ever(wb, SETUP.key, "processor") == (low, kept)
    with pytest.raises(NotFound):
        tuned.take_back_limit(wb, low.id, "again", at=NOW)


@pytest.mark.parametrize(
    "trial", [TRIAL, replace(TRIAL, watts=141.5, watts_at=Meter.WALL), replace(TRIAL, errors=9, corrected=7)]
)
def test_a_trial_comes_back_as_it_was(wb: Workbench, trial: Trial) -> None:
    kept = trials.add_trial(wb, trial, at=NOW)
    assert trials.trials_of(wb, [SETUP.key]) == (replace(trial, id=kept.id),)
    assert trials.trial_numbered(wb, kept.id) == kept


def test_the_same_key_twice_is_one_trial_whoever_sends_it(wb: Workbench) -> None:
    kept = trials.add_trial(wb, TRIAL, at=NOW)
    assert trials.add_trial(wb, replace(TRIAL, by="right bench"), at=NOW) == kept
    with pytest.raises(BadRecord, match=f"b-17.*number {kept.id}"):
        trials.add_trial(wb, replace(TRIAL, hours=0.11), at=NOW)
    with pytest.raises(BadRecord, match="no key"):
        trials.add_trial(wb, replace(TRIAL, key=""), at=NOW)
    assert len(trials.trials_of(wb, [SETUP.key])) == 1


def test_a_trial_that_is_taken_back_stays_with_the_reason_and_its_key_is_used(wb: Workbench) -> None:
    kept = trials.add_trial(wb, TRIAL, at=NOW)
    trials.take_back_trial(wb, kept.id, "the wrong build", at=NOW)
    assert trials.trials_of(wb, [SETUP.key]) == ()
    assert trials.trials_of(wb, [SETUP.key], ever=True) == (kept,)
    assert trials.reasons(wb) == {kept.id: "the wrong build"}
    assert trials.add_trial(wb, TRIAL, at=NOW) == kept, "sent again it is the one that was taken back"
    assert trials.trials_of(wb, [SETUP.key]) == ()


def test_a_trial_is_put_back_and_taken_back_again_and_every_turn_stays(wb: Workbench) -> None:
    kept = trials.add_trial(wb, TRIAL, at=NOW)
    with pytest.raises(NotFound, match="taken back"):
        trials.put_back_trial(wb, kept.id, "it counts already", at=NOW)
    trials.take_back_trial(wb, kept.id, "the fan was off", at=NOW)
    assert trials.put_back_trial(wb, kept.id, "it was on after all", at=NOW) == kept
    assert trials.trials_of(wb, [SETUP.key]) == (kept,)
    assert trials.reasons(wb) == {}
    trials.take_back_trial(wb, kept.id, "it was off, a photo shows it", at=NOW)
    assert trials.trials_of(wb, [SETUP.key]) == ()
    with pytest.raises(NotFound):
        trials.take_back_trial(wb, kept.id, "once more", at=NOW)
    told = [(turn.counts, turn.reason) for turn in trials.turns(wb)[kept.id]]
    assert told == [
        (False, "the fan was off"), (True, "it was on after all"), (False, "it was off, a photo shows it"),
    ]  # fmt: skip


def test_a_limit_is_put_back_under_its_own_number(wb: Workbench) -> None:
    tuned.save_tuned(wb, PART, at=NOW)
    kept = tuned.add_limit(wb, SETUP.key, "processor", LIMIT, at=NOW)
    tuned.take_back_limit(wb, kept.id, "another revision", at=NOW)
    assert tuned.put_back_limit(wb, kept.id, "the same revision", at=NOW) == kept
    assert limits(wb) == (kept,)
    assert [turn.counts for turn in tuned.limit_turns(wb)[kept.id]] == [False, True]


@pytest.mark.parametrize("table", ["tuned_parts", "maker_limits", "trials"])
def test_what_is_changed_behind_our_back_is_found(wb: Workbench, table: str) -> None:
    tuned.save_tuned(wb, PART, at=NOW)
    tuned.add_limit(wb, SETUP.key, "processor", LIMIT, at=NOW)
    trials.add_trial(wb, TRIAL, at=NOW)
    with wb.writing() as conn:
        conn.execute(f"DROP TRIGGER {table}_no_update")
        conn.execute(f"UPDATE {table} SET part = 'memory'")
    assert any(table in problem for problem in check(wb.path).problems)


def test_a_setup_that_is_not_on_record_is_refused(wb: Workbench) -> None:
    with pytest.raises(BadRecord, match="nothing"):
        trials.add_trial(wb, replace(TRIAL, setup="nothing"), at=NOW)
