"""What a study says is worked out once for what it depends on, and anew where that is another."""

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.comparison import findings_now as room
from evenhand.desk.comparison.findings_now import comparison_now, findings_now
from evenhand.desk.latest import Latest
from evenhand.desk.on_record import load_study, read_study
from evenhand.records.runs import Decision, Reason, RunState
from evenhand.store import decisions


@pytest.fixture(autouse=True)
def nothing_remembered(monkeypatch):
    monkeypatch.setattr(room, "LATELY", Latest(8))


def decide(wb, run, state, **more):
    decisions.add_decision(wb, Decision(run=run, at=NOW, state=state, **more))


def test_a_record_read_again_says_the_same_without_being_worked_out_again(stocked):
    assert findings_now(read_study(stocked, "quay")) is findings_now(read_study(stocked, "quay"))


def test_a_decision_that_changes_nothing_that_counts_changes_nothing_that_is_said(stocked):
    before = load_study(stocked, "quay")
    landed = next(each for each in before.runs if each.state is RunState.LANDED)
    decide(stocked, landed.run.id, RunState.KEPT, note="looked at")
    assert findings_now(load_study(stocked, "quay")) is findings_now(before)


def test_a_run_that_is_set_aside_changes_what_is_said_and_what_is_left_out(stocked):
    before = comparison_now(load_study(stocked, "quay"))
    counting = next(each for each in load_study(stocked, "quay").runs if each.state.counts)
    decide(stocked, counting.run.id, RunState.SET_ASIDE, reason=Reason.OTHER)
    after = comparison_now(load_study(stocked, "quay"))
    assert counting.run.id in {each.run for each in after.exclusions}
    assert counting.run.id not in {each.run for each in before.exclusions}
    assert after.findings != before.findings
