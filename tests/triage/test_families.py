"""Every kind belongs to one family, and the families stay within what triage may hold."""

from __future__ import annotations

from collections import Counter

from evenhand.triage.families import BUDGET, FAMILIES, family_of, spent


def test_the_families_together_stay_within_the_budget() -> None:
    assert sum(family.budget for family in FAMILIES) <= BUDGET + 1e-9


def test_no_kind_belongs_to_two_families() -> None:
    kinds = Counter(kind for family in FAMILIES for kind in family.kinds)
    assert [kind for kind, times in kinds.items() if times > 1] == []


def test_a_kind_of_no_family_is_said_so() -> None:
    assert family_of("unreadable-log") is None


def test_what_a_family_spent_is_what_its_kinds_held() -> None:
    told = spent({"late-start": 2, "slow-sag": 1, "twin": 5}, 100)
    assert told["course of the run"] == 0.03
    assert told["level"] == 0.0
