"""A number of two that were measured apart names who bridges them, in every sentence that tells it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.findings.test_crossing import compared, joint
from validation.workshops import MOSTLY_PLAY, case_of, saltmarsh_cells

from evenhand.findings.finding import Finding, Outcome
from evenhand.publish.names import Names, SetupName
from evenhand.publish.sentences import finding_sentence, index_stands
from evenhand.publish.verdict_words import verdict_clause
from evenhand.verdicts.verdict import verdicts

SETUPS = {
    key: SetupName(name=key.capitalize(), slot=slot) for slot, key in enumerate(("tern", "gull", "wren"))
}
NAMES = Names(setups=SETUPS, tests={})


@pytest.fixture
def finding() -> Finding:
    return compared(joint("quay")).findings[0]


@pytest.mark.parametrize("outcome", [Outcome.AHEAD, Outcome.LEVEL, Outcome.UNSETTLED])
def test_a_finding_names_the_bridge_however_it_stands(finding: Finding, outcome: Outcome) -> None:
    said = finding_sentence(replace(finding, outcome=outcome), NAMES, margin=0.03)
    assert ", bridged by Wren" in said
    assert "bridged" not in finding_sentence(replace(finding, bridged_by=()), NAMES, margin=0.03)


@pytest.mark.parametrize("outcome", [Outcome.AHEAD, Outcome.LEVEL, Outcome.UNSETTLED])
def test_so_does_an_index(outcome: Outcome) -> None:
    index = replace(compared(joint("quay")).indexes[0], outcome=outcome)
    assert ", bridged by Wren" in index_stands(index, NAMES, margin=0.03)


@pytest.mark.parametrize("outcome", [Outcome.AHEAD, Outcome.LEVEL, Outcome.UNSETTLED])
def test_so_does_a_verdict(outcome: Outcome) -> None:
    found = replace(verdicts(case_of(MOSTLY_PLAY, saltmarsh_cells()))[0], outcome=outcome)
    assert "bridged" not in verdict_clause(found, NAMES, margin=0.03)
    assert verdict_clause(replace(found, bridged_by=("wren",)), NAMES, margin=0.03).endswith(
        ", bridged by Wren"
    )
