"""Audiences are said, changed, ordered and taken out by hand, by the rules of the study file."""

from __future__ import annotations

from typing import Any

import pytest
from tests.desk.small_folder import NOW

from evenhand.desk.on_record import load_study
from evenhand.desk.study.briefing import change_study, change_test, drop_test
from evenhand.desk.study.for_whom import (
    drop_audience,
    examples_for,
    move_audience,
    put_audience,
    take_example,
    weighed_tests,
)
from evenhand.desk.study.shelving import version_of
from evenhand.desk.study.terms import changed_terms
from evenhand.desk.study.undoing import undo_change
from evenhand.errors import BadRecord, NotFound, Overtaken
from evenhand.records.audiences import Audience
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

PLAY: dict[str, Any] = {"name": "Mostly play", "groups": {"games": 80.0}, "tests": {"render": 20.0}}


def study_in(wb: Workbench) -> Study:
    return shelves.one(wb, Study, "quay")


def audiences(wb: Workbench) -> tuple[Audience, ...]:
    return study_in(wb).audiences


@pytest.fixture
def grouped(stocked: Workbench) -> Workbench:
    """The small study with two groups of tests, and a currency."""
    change_test(stocked, "render", {"group": "work"}, now=NOW)
    change_study(stocked, "quay", {"currency": {"symbol": "dl", "decimals": 0}}, now=NOW)
    return stocked


def test_an_audience_is_added_under_a_key_made_of_its_name(stocked: Workbench) -> None:
    assert put_audience(stocked, "quay", None, PLAY, now=NOW).key == "mostly-play"
    (there,) = audiences(stocked)
    assert (there.name, there.groups, there.tests) == ("Mostly play", {"games": 80.0}, {"render": 20.0})


def test_it_is_a_term_whose_change_after_data_is_told_and_can_be_undone(stocked: Workbench) -> None:
    kept = put_audience(stocked, "quay", None, PLAY, now=NOW)
    assert any("audiences" in each.words for each in changed_terms(stocked, load_study(stocked, "quay")))
    undo_change(stocked, kept.change, now=NOW)
    assert audiences(stocked) == ()


@pytest.mark.parametrize(
    ("given", "field"),
    [
        ({"name": " "}, "name"),
        ({"groups": {"games": -1.0}}, "groups.games"),
        ({"groups": {"game": 1.0}}, "groups.game"),
        ({"tests": {"renders": 1.0}}, "tests.renders"),
        ({"groups": {"games": 0.0}, "tests": {}}, "groups"),
        ({"properties": {"speed": 0.0}}, "properties"),
        ({"properties": {"price": 1.0}}, "properties"),
        ({"fixed": "2x"}, "fixed"),
        ({"hours_a_year": [0.0, 900.0]}, "hours_a_year"),
        ({"hours_a_year": [1500.0, 900.0]}, "hours_a_year"),
        ({"hours_a_year": [900.0, 9000.0]}, "hours_a_year"),
        ({"tariff": ["0.36", "0.28"]}, "tariff"),
        ({"tariff": ["-0.3", "0.3"]}, "tariff"),
        ({"tariff": ["cheap", "cheap"]}, "tariff"),
    ],
)
def test_what_cannot_be_used_is_told_at_its_field(
    grouped: Workbench, given: dict[str, Any], field: str
) -> None:
    with pytest.raises(BadRecord) as refused:
        put_audience(grouped, "quay", None, {**PLAY, **given}, now=NOW)
    assert refused.value.where == field
    assert audiences(grouped) == ()


def test_money_needs_a_currency_first(stocked: Workbench) -> None:
    with pytest.raises(BadRecord, match="says no currency") as refused:
        put_audience(stocked, "quay", None, {**PLAY, "fixed": "250"}, now=NOW)
    assert refused.value.where == "fixed"


def test_what_electricity_costs_them_is_no_term_since_no_verdict_hangs_on_it(grouped: Workbench) -> None:
    put_audience(grouped, "quay", None, PLAY, now=NOW)
    before = changed_terms(grouped, load_study(grouped, "quay"))
    used = {"hours_a_year": [900.0, 1500.0], "tariff": ["0.28", "0.36"]}
    put_audience(grouped, "quay", "mostly-play", {**PLAY, **used}, now=NOW)
    (there,) = audiences(grouped)
    assert (there.hours_a_year, there.tariff_minor) == ((900.0, 1500.0), ("0.28", "0.36"))
    assert changed_terms(grouped, load_study(grouped, "quay")) == before
    put_audience(grouped, "quay", "mostly-play", {**PLAY, **used, "fixed": "250"}, now=NOW)
    assert len(changed_terms(grouped, load_study(grouped, "quay"))) == len(before) + 1


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"tariff": ["0.28", "0.36"]}, "pays for electricity"),
        ({"fixed": "250"}, "must buy things for money"),
    ],
)
def test_a_currency_that_somebody_counts_in_is_not_taken_away(
    grouped: Workbench, said: dict[str, Any], words: str
) -> None:
    put_audience(grouped, "quay", None, {**PLAY, **said}, now=NOW)
    with pytest.raises(BadRecord, match=words):
        change_study(grouped, "quay", {"currency": None}, now=NOW)
    change_study(grouped, "quay", {"currency": {"symbol": "cr", "decimals": 2}}, now=NOW)
    (there,) = audiences(grouped)
    assert (there.tariff_minor, there.fixed_minor) in ((("28", "36"), 0), (None, 25000)), "the same amounts"


def test_a_currency_that_somebody_pays_in_is_not_taken_away(grouped: Workbench) -> None:
    put_audience(grouped, "quay", None, {**PLAY, "fixed": "250"}, now=NOW)
    with pytest.raises(BadRecord, match="must buy things for money"):
        change_study(grouped, "quay", {"currency": None}, now=NOW)
    assert audiences(grouped)[0].fixed_minor == 250


def test_who_saw_an_older_study_is_told_so(stocked: Workbench) -> None:
    seen = version_of(stocked, study_in(stocked))
    put_audience(stocked, "quay", None, PLAY, now=NOW)
    with pytest.raises(Overtaken):
        put_audience(stocked, "quay", None, PLAY, now=NOW, seen=seen)


def test_they_are_ordered_by_hand_and_taken_out(stocked: Workbench) -> None:
    for name in ("One", "Two"):
        put_audience(stocked, "quay", None, {**PLAY, "name": name}, now=NOW)
    move_audience(stocked, "quay", "two", by=-1, now=NOW)
    assert [each.key for each in audiences(stocked)] == ["two", "one"]
    drop_audience(stocked, "quay", "two", now=NOW)
    assert [each.key for each in audiences(stocked)] == ["one"]
    with pytest.raises(NotFound, match="no audience is called 'two'"):
        drop_audience(stocked, "quay", "two", now=NOW)


def test_three_examples_are_made_of_two_groups(grouped: Workbench) -> None:
    offered = examples_for(study_in(grouped), weighed_tests(grouped, study_in(grouped)))
    assert [(each.name, each.groups) for each in offered] == [
        ("Mostly games", {"games": 80.0, "work": 20.0}),
        ("Half and half", {"games": 50.0, "work": 50.0}),
        ("Mostly work", {"games": 20.0, "work": 80.0}),
    ]


def test_an_example_that_was_taken_leaves_the_others_on_offer(grouped: Workbench) -> None:
    take_example(grouped, "quay", "half-and-half", now=NOW)
    study = study_in(grouped)
    assert [each.key for each in examples_for(study, weighed_tests(grouped, study))] == [
        "mostly-games",
        "mostly-work",
    ]


def test_nothing_is_offered_of_one_group_or_beside_an_audience_of_ones_own(
    stocked: Workbench, grouped: Workbench
) -> None:
    put_audience(grouped, "quay", None, PLAY, now=NOW)
    study = study_in(grouped)
    assert examples_for(study, weighed_tests(grouped, study)) == ()
    change_test(stocked, "render", {"group": "games"}, now=NOW)
    with pytest.raises(NotFound, match="no example"):
        take_example(stocked, "quay", "half-and-half", now=NOW)


def test_a_test_that_leaves_the_study_leaves_its_audiences(stocked: Workbench) -> None:
    put_audience(stocked, "quay", None, PLAY, now=NOW)
    drop_test(stocked, "quay", "render", now=NOW)
    assert audiences(stocked)[0].tests == {}


def test_the_only_thing_that_an_audience_weighs_does_not_leave(stocked: Workbench) -> None:
    put_audience(stocked, "quay", None, {"name": "Renderers", "tests": {"render": 1.0}}, now=NOW)
    with pytest.raises(BadRecord, match="Renderers weighs nothing else"):
        drop_test(stocked, "quay", "render", now=NOW)
    assert "render" in study_in(stocked).tests


def test_a_group_that_was_renamed_keeps_nobody_from_changing_something_else(grouped: Workbench) -> None:
    put_audience(grouped, "quay", None, {"name": "Work", "groups": {"work": 1.0}}, now=NOW)
    change_test(grouped, "render", {"group": "jobs"}, now=NOW)
    change_study(grouped, "quay", {"margin": 0.02}, now=NOW)
    assert study_in(grouped).margin == 0.02
