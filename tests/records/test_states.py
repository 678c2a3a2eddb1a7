"""Where a run stands follows from its faults and decisions, by a plain table of cases."""

from datetime import UTC, datetime

import pytest

from evenhand.records.faults import Fault, Severity
from evenhand.records.runs import Decision, RunState
from evenhand.records.states import state_of


def fault(kind: str, severity: Severity = Severity.IN_DOUBT) -> Fault:
    return Fault(kind=kind, title=kind, severity=severity, evidence="", todo="")


def decision(state: RunState, *over: str) -> Decision:
    return Decision(run="r", at=datetime(2031, 5, 1, tzinfo=UTC), state=state, over=over)


CAP, LEVEL = fault("cap"), fault("odd level")
NOTE, TWIN = fault("variance", Severity.NOTE), fault("twin", Severity.BLOCKS)
KEPT_CAP = decision(RunState.KEPT, "cap")
ASIDE, BACK = decision(RunState.SET_ASIDE, "cap"), decision(RunState.LANDED)


@pytest.mark.parametrize(
    ("faults", "decisions", "expected"),
    [
        ([], [], RunState.LANDED),
        ([NOTE], [], RunState.LANDED),
        ([CAP], [], RunState.IN_DOUBT),
        ([TWIN], [], RunState.IN_DOUBT),
        ([CAP], [KEPT_CAP], RunState.KEPT),
        ([CAP, LEVEL], [KEPT_CAP], RunState.IN_DOUBT),
        ([CAP, NOTE], [KEPT_CAP], RunState.KEPT),
        ([], [KEPT_CAP], RunState.KEPT),
        ([CAP], [ASIDE], RunState.SET_ASIDE),
        ([CAP], [ASIDE, BACK], RunState.IN_DOUBT),
        ([], [ASIDE, BACK], RunState.LANDED),
        ([LEVEL], [decision(RunState.REPLACED)], RunState.REPLACED),
    ],
)
def test_the_last_decision_holds_unless_a_new_fault_shows(faults, decisions, expected):
    assert state_of(faults, decisions) is expected


def test_only_landed_and_kept_runs_count():
    assert [state for state in RunState if state.counts] == [RunState.LANDED, RunState.KEPT]
