"""What is assumed of money is said by hand, in per cent and whole amounts, each mistake at its field."""

from __future__ import annotations

from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.on_record import load_study
from evenhand.desk.study.assuming import assumed, drafted_terms, put_terms
from evenhand.desk.study.briefing import change_study
from evenhand.desk.study.shelving import version_of
from evenhand.desk.study.terms import changed_terms
from evenhand.desk.study.undoing import undo_change
from evenhand.errors import BadRecord, NotFound, Overtaken
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

WHOLE: dict[str, Any] = {
    "years": 4.0, "repairs": "25", "resale": [55.0, 75.0], "lost": [20.0, 30.0], "horizon_months": 24,
    "cash": "150", "saved": "15", "budget": "1,000",
}  # fmt: skip


def study_in(wb: Workbench) -> Study:
    return shelves.one(wb, Study, "quay")


@pytest.fixture
def paying(stocked: Workbench) -> Workbench:
    """The small study with a currency."""
    change_study(stocked, "quay", {"currency": {"symbol": "dl", "decimals": 0}}, now=NOW)
    return stocked


def test_they_are_kept_whole_and_no_finding_hangs_on_them(paying: Workbench) -> None:
    before = changed_terms(paying, load_study(paying, "quay"))
    kept = put_terms(paying, "quay", WHOLE, now=NOW)
    told = study_in(paying).money
    assert told is not None
    assert (told.years, told.repairs_minor, told.resale, told.horizon_months) == (4.0, 25, (0.55, 0.75), 24)
    assert (told.cash_minor, told.saved_minor, told.budget_minor) == (150, 15, 1000)
    assert told.fall == pytest.approx((0.2231, 0.3567), abs=1e-4), "a fifth and three tenths a year, as logs"
    assert changed_terms(paying, load_study(paying, "quay")) == before
    undo_change(paying, kept.change, now=NOW)
    assert study_in(paying).money is None


def test_what_is_not_given_is_as_usual(paying: Workbench) -> None:
    put_terms(paying, "quay", {}, now=NOW)
    assert study_in(paying).money == MoneyTerms()


@pytest.mark.parametrize(
    "terms", [WHOLE, {"resale": [33.3, 66.7], "lost": [0.0, 99.0]}, {"lost": [12.3, 45.6]}]
)
def test_what_was_shown_and_is_sent_back_changes_nothing(paying: Workbench, terms: dict[str, Any]) -> None:
    put_terms(paying, "quay", terms, now=NOW)
    before = study_in(paying)
    assert put_terms(paying, "quay", assumed(before), now=NOW).change == 0
    assert study_in(paying) == before


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"years": 0.0}, "years"), ({"years": -1.0}, "years"), ({"years": 21.0}, "years"),
        ({"repairs": "-5"}, "repairs"), ({"repairs": "2.50"}, "repairs"), ({"budget": "a lot"}, "budget"),
        ({"resale": [75.0, 55.0]}, "resale"), ({"resale": [0.0, 101.0]}, "resale"),
        ({"lost": [30.0, 20.0]}, "lost"), ({"lost": [-1.0, 20.0]}, "lost"), ({"lost": [0.0, 100.0]}, "lost"),
        ({"horizon_months": 0}, "horizon_months"), ({"horizon_months": 999}, "horizon_months"),
        ({"cash": "9999999999999999"}, "cash"),
    ],
)  # fmt: skip
def test_what_cannot_be_assumed_is_told_at_its_field(
    paying: Workbench, given: dict[str, Any], field: str
) -> None:
    problems = drafted_terms(study_in(paying), {**WHOLE, **given}).problems
    assert [each.field for each in problems] == [field]
    assert all(each.todo for each in problems)
    with pytest.raises(BadRecord):
        put_terms(paying, "quay", {**WHOLE, **given}, now=NOW)
    assert study_in(paying).money is None


def test_amounts_need_a_currency_and_the_rest_does_not(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="says no currency"):
        put_terms(stocked, "quay", {"repairs": "25"}, now=NOW)
    put_terms(stocked, "quay", {"years": 5.0}, now=NOW)
    told = study_in(stocked).money
    assert told is not None
    assert told.years == 5.0


def test_a_currency_in_which_amounts_are_assumed_is_not_taken_away(paying: Workbench) -> None:
    put_terms(paying, "quay", WHOLE, now=NOW)
    with pytest.raises(BadRecord, match="amounts are assumed on the page Money"):
        change_study(paying, "quay", {"currency": None}, now=NOW)
    change_study(paying, "quay", {"currency": {"symbol": "cr", "decimals": 2}}, now=NOW)
    told = study_in(paying).money
    assert told is not None
    assert (told.repairs_minor, told.budget_minor) == (2500, 100_000), "the same amounts, in smaller units"


def test_another_change_of_the_study_leaves_them_as_they_are(paying: Workbench) -> None:
    put_terms(paying, "quay", WHOLE, now=NOW)
    before = study_in(paying).money
    change_study(paying, "quay", {"margin": 0.05}, now=NOW)
    assert study_in(paying).money == before


def test_what_somebody_changed_meanwhile_is_not_overwritten(paying: Workbench) -> None:
    seen = version_of(paying, study_in(paying))
    put_terms(paying, "quay", WHOLE, now=NOW, seen=seen)
    with pytest.raises(Overtaken):
        put_terms(paying, "quay", {"years": 7.0}, now=NOW, seen=seen)


def test_a_study_that_is_not_there_is_told(paying: Workbench) -> None:
    with pytest.raises(NotFound):
        put_terms(paying, "quai", WHOLE, now=NOW)
