"""The way an amount of a tuned part lies: as much the other way is objected to, with the way of the record.

Beside the first study's parts there is the second study, in which Plover tuned stands beside Plover at stock:
tuned it draws 17 W more at the wall, does 6.2 % less work for a joule and is 1.9 % faster.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from tests.conftest import NOW
from tests.prose.conftest import Check

from evenhand.desk.demonstrating import bring_stock
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import open_desk
from evenhand.desk.publication.scripts import ground_of
from evenhand.prose.checking import check
from evenhand.prose.objection import Rule
from evenhand.prose.rules import rules
from evenhand.prose.script import parse


@pytest.fixture(scope="module")
def beside_stock(decided_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Check:
    """What is objected to in a text on Plover tuned and at stock."""
    place = tmp_path_factory.mktemp("stock") / "saltmarsh.evenhand"
    shutil.copy(decided_file, place)
    with open_desk(place) as wb:
        bring_stock(wb, place.parent / "stock", now=NOW, watch=None)
        ground, own = ground_of(wb, load_study(wb, "saltmarsh-stock")), rules()
    return lambda text: check(parse(text, abbreviations=own.abbreviations), ground, own)


OF_PARTS = [
    ("Plover's processor settles 9 °C above its limit.", "9 °C above",
     "it settles 9 K below the maker's limit", "Plover's processor settles 9 °C below its limit."),
    ("Plover's processor settles 9 K above its limit.", "9 K above",
     "it settles 9 K below the maker's limit", "Plover's processor settles 9 K below its limit."),
    ("Plover's processor runs 9 °C over its limit of 95 °C in a room of 30 °C.", "9 °C over",
     "it settles 9 K below the maker's limit",
     "Plover's processor runs 9 °C under its limit of 95 °C in a room of 30 °C."),
    ("At 4,650 MHz Plover's processor runs 95 mV below stock.", "95 mV below", "it is set 95 mV above stock",
     "At 4,650 MHz Plover's processor runs 95 mV above stock."),
    ("Plover's processor runs 150 MHz below stock.", "150 MHz below", "it is set 150 MHz above stock",
     "Plover's processor runs 150 MHz above stock."),
    ("Plover's processor begins to fail 65 mV above the advised voltage.", "65 mV above",
     "it is set 65 mV above the edge",
     "Plover's processor begins to fail 65 mV below the advised voltage."),
    ("We set Plover's processor 65 mV below where it begins to fail.", "65 mV below",
     "it is set 65 mV above the edge", "We set Plover's processor 65 mV above where it begins to fail."),
    ("Plover's processor stays 80 mV above the maker's limit.", "80 mV above",
     "it is set 80 mV below the maker's limit", "Plover's processor stays 80 mV below the maker's limit."),
    ("The limit of Plover's processor lies 80 mV below what we set.", "80 mV below",
     "it is set 80 mV below the maker's limit",
     "The limit of Plover's processor lies 80 mV above what we set."),
    ("Stock lies 95 mV above what Plover's processor is set to.", "95 mV above",
     "it is set 95 mV above stock", "Stock lies 95 mV below what Plover's processor is set to."),
    ("We lowered the voltage of Plover's processor by 95 mV.",
     "lowered the voltage of Plover's processor by 95 mV", "it is set 95 mV above stock",
     "We raised the voltage of Plover's processor by 95 mV."),
]  # fmt: skip
"""What is wrong of a part on record in both studies, the way that is told, and what is right."""


@pytest.mark.parametrize(("wrong", "excerpt", "told", "right"), OF_PARTS)
def test_as_much_the_other_way_is_told_with_the_way_of_the_record(
    checked: Check, wrong: str, excerpt: str, told: str, right: str
) -> None:
    (found,) = checked(wrong)
    assert (found.rule, found.excerpt) == (Rule.CONTRARY_NUMBER, excerpt)
    assert f"{excerpt} is not what the record has: {told}" in found.reason.replace("\u00a0", " ")
    assert checked(right) == ()


@pytest.mark.parametrize(
    ("wrong", "right"),
    [(wrong, right) for wrong, _, _, right in OF_PARTS],
)
def test_beside_stock_the_part_has_the_same_ways(beside_stock: Check, wrong: str, right: str) -> None:
    assert [each.rule for each in beside_stock(wrong)] == [Rule.CONTRARY_NUMBER]
    assert beside_stock(right) == ()


@pytest.mark.parametrize(
    ("wrong", "told", "right"),
    [
        ("Dunlin's graphics card runs 55 mV above stock.", "it is set 55 mV below stock",
         "Dunlin's graphics card runs 55 mV below stock."),
        ("Plover's processor draws 23 W less than at stock.", "23 W more than at stock",
         "Plover's processor draws 23 W more than at stock."),
        ("Undervolting Dunlin's graphics card by 55 mV costs 16 W.", "16 W less than at stock",
         "Undervolting Dunlin's graphics card by 55 mV saves 16 W."),
        ("Leaving Dunlin's graphics card at stock saves 16 W.", "16 W less than at stock",
         "Leaving Dunlin's graphics card at stock costs 16 W."),
        ("Dunlin's card does 9.9 % less work for a joule than at stock.",
         "9.9 % (9.1 to 10.8) more than at stock",
         "Dunlin's card does 9.9 % more work for a joule than at stock."),
        ("We undervolted Dunlin's graphics card by 90 mV.", "55 mV below stock",
         "We undervolted Dunlin's graphics card by 55 mV."),
        ("Undervolting Dunlin's graphics card by 90 mV saves 16 W.", "55 mV below stock",
         "A 55 mV undervolt of Dunlin's graphics card saves 16 W."),
        ("We underclocked Plover's processor by 150 MHz.", "it is set 150 MHz above stock",
         "We overclocked Plover's processor by 150 MHz."),
    ],
)  # fmt: skip
def test_what_was_moved_or_saved_by_so_much_has_its_way_too(
    checked: Check, wrong: str, told: str, right: str
) -> None:
    (found,) = checked(wrong)
    assert found.rule is Rule.CONTRARY_NUMBER
    assert f" is not what the record has: {told}" in found.reason.replace("\u00a0", " ")
    assert checked(right) == ()


@pytest.mark.parametrize(
    ("wrong", "excerpt", "told"),
    [
        ("Tuned, Plover draws 17 W less at the wall than at stock.", "17 W less",
         "16.6 W (14.3 to 18.9) more than at stock"),
        ("Tuning Plover gains nothing and draws 17 W less at the wall.", "17 W less",
         "16.6 W (14.3 to 18.9) more than at stock"),
        ("Tuning Plover saves 17 W at the wall.", "saves 17 W", "16.6 W (14.3 to 18.9) more than at stock"),
        ("At stock, Plover draws 17 W more at the wall.", "17 W more",
         "16.6 W (14.3 to 18.9) more than at stock"),
        ("At stock Plover draws 17 W more at the wall than tuned.", "17 W more",
         "16.6 W (14.3 to 18.9) more than at stock"),
        ("Tuned, Plover does 6.2 % more work for a joule at the wall than at stock.", "6.2 % more",
         "6.2 % (5.1 to 7.2) less than at stock"),
        ("Tuned, Plover is 1.9 % slower than at stock.", "1.9 % slower",
         "1.9 % (90 %: 1.4 to 2.4), faster than at stock"),
        ("Tuned, Plover loses 1.9 % against stock.", "loses 1.9 %",
         "1.9 % (90 %: 1.4 to 2.4), faster than at stock"),
    ],
)  # fmt: skip
def test_what_tuning_bought_and_cost_is_told_the_way_of_the_runs(
    beside_stock: Check, wrong: str, excerpt: str, told: str
) -> None:
    (found,) = beside_stock(wrong)
    assert (found.rule, found.excerpt) == (Rule.CONTRARY_NUMBER, excerpt)
    assert f"{excerpt} is not what the record has: {told} (" in found.reason.replace("\u00a0", " ")


@pytest.mark.parametrize(
    "right",
    [
        "Tuned, Plover draws 17 W more at the wall than at stock.",
        "Tuned, Plover does 6.2 % less work for a joule at the wall than at stock.",
        "Tuned, Plover is 1.9 % faster than at stock.",
        "At stock, Plover draws 17 W less at the wall.",
        "At stock Plover draws 17 W less at the wall than tuned.",
        "Plover draws 17 W less at the wall at stock.",
        "Tuning Plover costs 17 W at the wall.",
        "Against stock, tuning adds 17 W at the wall.",
        "Tuned, Plover loses 6.2 % of its work for a joule at the wall.",
        "Tuned, Plover's processor draws 23 W more than at stock.",
    ],
)
def test_the_right_way_stands_of_what_is_tuned_and_of_stock(beside_stock: Check, right: str) -> None:
    assert beside_stock(right) == ()


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ("Tuned, Plover does 4 % less work for a joule at the wall than at stock.", "6.2 %"),
        ("Tuned, Plover draws 23 W more at the wall than at stock.", "16.6 W"),
        ("Tuned, Plover's processor draws 17 W more than at stock.", "23 W more"),
    ],
)
def test_what_the_wall_reads_is_no_figure_of_a_part_nor_the_other_way_round(
    beside_stock: Check, wrong: str, told: str
) -> None:
    (found,) = beside_stock(wrong)
    assert f"is not what the record has: {told}" in found.reason.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("said", "figure"),
    [
        ("Tuned, Plover draws 17 W more at the wall than at stock.", "17 W"),
        ("Tuned, Plover does 6 % less work for a joule at the wall than at stock.", "6 %"),
    ],
)
def test_where_no_runs_at_stock_are_in_the_study_nothing_tells_what_the_wall_reads(
    checked: Check, said: str, figure: str
) -> None:
    (found,) = checked(said)
    assert (found.excerpt, found.would_stand) == (figure, "")
    assert found.reason.startswith("what tuning adds at the wall is told by runs at stock and tuned")


@pytest.mark.parametrize(
    "right",
    [
        "At 1,245 mV Plover's processor stays 80 mV below the limit of 1,325 mV.",
        "At 1,245 mV Plover's processor has 80 mV less than the limit.",
        "At 1,245 mV Plover's processor stays 65 mV above its edge.",
        "Plover's processor stays 80 mV below its limit at 1,245 mV.",
        "At 1,325 mV Plover's processor is at its limit.",
    ],
)
def test_where_a_part_is_set_is_not_held_against_what_that_is_told_to_be_apart_from(
    checked: Check, right: str
) -> None:
    assert checked(right) == ()


def test_a_voltage_that_it_is_not_set_to_is_objected_to_beside_its_limit(checked: Check) -> None:
    (found,) = checked("At 1,240 mV Plover's processor stays 80 mV below the limit.")
    assert found.excerpt == "1,240 mV"
    assert "1,240 mV is not what the record has: 1,245 mV" in found.reason.replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("wrong", "excerpt", "told"),
    [
        ("Tuned, Plover draws less at the wall than at stock.", "draws less", "16.6 W (14.3 to 18.9) more"),
        ("Tuned, Plover draws less than at stock.", "draws less", "23 W more"),
        ("Tuned, Plover is more efficient at the wall than at stock.", "more efficient",
         "6.2 % (5.1 to 7.2) less"),
        ("Tuned, Plover does more work for a joule than at stock.", "more work for a joule",
         "3.98 % (3.77 to 4.20) less"),
    ],
)  # fmt: skip
def test_the_other_way_without_a_figure_is_told_with_what_was_read(
    beside_stock: Check, wrong: str, excerpt: str, told: str
) -> None:
    (found,) = beside_stock(wrong)
    assert (found.rule, found.excerpt) == (Rule.CLAIM, excerpt)
    assert found.would_stand.replace("\u00a0", " ").endswith(told)


@pytest.mark.parametrize(
    "right",
    [
        "Tuned, Plover draws more at the wall than at stock.",
        "Tuned, Plover is less efficient at the wall than at stock.",
        "Tuned, Plover draws more than at stock.",
        "Tuned, Plover does less work for a joule than at stock.",
        "Tuned, Plover takes less time than at stock.",
        "No clock does more work for a joule than stock does, the best of them 3.98 % less.",
    ],
)
def test_the_right_way_needs_no_figure(beside_stock: Check, right: str) -> None:
    assert beside_stock(right) == ()


def test_without_runs_at_stock_no_way_at_the_wall_is_told(checked: Check) -> None:
    (found,) = checked("Tuned, Plover draws less at the wall than at stock.")
    assert (found.rule, found.excerpt, found.would_stand) == (Rule.CLAIM, "draws less", "")
    assert checked("Tuned, Dunlin's graphics card draws less than at stock.") == ()


@pytest.mark.parametrize(
    "said",
    ["Plover's best clock for work per joule is {}.", "Plover's processor does most work for a joule at {}."],
)
def test_the_clock_of_most_work_for_a_joule_is_the_one_that_was_found(
    checked: Check, beside_stock: Check, said: str
) -> None:
    for check_in in (checked, beside_stock):
        (found,) = check_in(said.format("4,650 MHz"))
        assert found.excerpt == "4,650 MHz"
        assert found.reason.replace("\u00a0", " ").endswith(
            "has: 4,500 MHz, where it does most work for a joule"
        )
        assert check_in(said.format("4,500 MHz")) == ()


def test_a_wrong_amount_is_told_beside_what_nothing_on_record_tells(checked: Check) -> None:
    found = checked("Undervolting Dunlin's graphics card by 90 mV costs nothing.")
    assert [each.excerpt for each in found] == ["90 mV", "costs nothing"]
