"""Reasons that go with faults: every kind that can be found leads to one."""

from __future__ import annotations

from evenhand.desk.runs.fitting_reasons import FITTING
from evenhand.triage.families import FAMILIES


def test_every_kind_that_triage_can_find_leads_to_a_reason() -> None:
    found = {kind for family in FAMILIES for kind in family.kinds}
    assert found | {"unreadable-log", "warm-up"} == set(FITTING)  # these two are found elsewhere
    assert all(FITTING.values())
