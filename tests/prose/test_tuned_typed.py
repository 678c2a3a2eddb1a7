"""Typed figures of tuned parts: what the record has of the part stands, all else is told with what it has.

The example's processor of Plover is advised 1,245 mV for 4,650 MHz, its edge lies at 1,180 mV, it draws 114 W
and settles at 86 °C in a room of 30 °C; Dunlin's graphics card is undervolted to 960 mV.
"""

from __future__ import annotations

import pytest
from tests.prose.conftest import Check

from evenhand.prose.objection import Rule

UNDER = "of plover by processor at 4650-mhz under integers"
TILES = "of dunlin by graphics at 2310-mhz under shaded-tiles"


@pytest.mark.parametrize(
    "sentence",
    [
        "Plover's processor has a guard band of 65 mV.",
        "At 4,500 MHz the guard band of Plover's processor is 70 mV, of which 25 mV are reserve.",
        "Plover's processor is advised 1,245 mV for 4,650 MHz.",
        "For 4.6 GHz the trials of Plover's processor call for 1.22 volts.",
        "We set Plover's processor to 1,195 mV at 4,650 MHz for an hour.",
        "Plover's processor has its edge at 1,180 mV.",
        "Plover's processor has its edge at about 1,175 mV.",
        "Its edge lies 65 mV below what Plover's processor is advised.",
        "Plover's processor stands at 1,150 mV at stock.",
        "Between 1,172 and 1,187 mV lies the edge of Plover's processor at 4,650 MHz.",
        "Its edge lies at {edge of plover by processor at 4650-mhz under integers, with range}.",
        "The processor of Plover draws 114 W.",
        "At stock Plover's processor draws 92 W, by its own sensor.",
        "Plover's processor draws 23 W more than at stock.",
        "Undervolted, Dunlin's graphics card draws 153 watts, 16 W less than at stock.",
        f"Dunlin's graphics card draws {{added {TILES} read at part}}.",
        "Dunlin's card does 9.9 % more work for a joule than at stock.",
        "Plover's processor is tuned 95 mV and 150 MHz above stock.",
        "The undervolt of Dunlin's card is 55 mV below stock.",
        "The maker allows Plover's processor 1,325 mV, and we stay 80 mV below that.",
        "Plover's processor settles at 86 °C in a room of 30 °C, nine below the maker's limit of 95 °C.",
        "Plover's processor settles at 80 °C in a room of 24 °C.",
        "Plover's processor peaked at 80 °C in eight hours of integers.",
        "Plover's processor has 9 °C of headroom.",
        "Plover's processor gets half a degree warmer for every watt: 0.49 °C per watt.",
        "Plover's processor pulls 114 W, Dunlin's card 153 W.",
        "In a hot room Plover's processor comes within 9 °C of its limit.",
        "Plover has a processor clocked at 4,650 MHz, and its stock is 4,500 MHz.",
        "Plover's processor runs at 4,600 MHz and 1,220 mV.",
        "Plover's processor never ran at 4,800 MHz.",
        "We raised the voltage of Plover's processor by 95 mV.",
        "If another 20 mV were added, the guard band of Plover's processor would be 85 mV.",
        "We walked Plover's processor down in steps of 5 mV.",
        "Plover's processor crashed at 1,150 mV and 4,600 MHz.",
        "Plover's tuned processor is no faster than at stock, for all we know.",
        "We kept the room at 24 degrees while Plover's processor ran.",
    ],
)
def test_what_the_record_has_of_a_part_may_be_typed(checked: Check, sentence: str) -> None:
    assert checked(sentence) == ()


@pytest.mark.parametrize(
    ("sentence", "figure", "right", "address"),
    [
        ("Plover's processor has a guard band of 30 mV.", "30 mV", "65 mV", f"guard-band {UNDER}"),
        ("The guard band of Plover's processor is 65 mV at 4,500 MHz.", "65 mV", "70 mV",
         "guard-band of plover by processor at 4500-mhz under integers"),
        ("Plover's processor is advised 1,225 mV.", "1,225 mV", "1,245 mV", f"advised {UNDER}"),
        ("For 4,650 MHz we recommend 1.22 V on this chip.", "1.22 V", "1,245 mV", f"advised {UNDER}"),
        ("Dunlin's card was set to 870 mV.", "870 mV", "960 mV", f"advised {TILES}"),
        ("Plover's processor has its edge at 1,150 mV.", "1,150 mV", "1,180 mV (1,172 to 1,187)",
         f"edge {UNDER}"),
        ("Dunlin's graphics card fails below 950 mV.", "950 mV", "911 mV (906 to 917)", f"edge {TILES}"),
        ("Plover's processor keeps 40 mV in reserve.", "40 mV", "21 mV", f"reserve {UNDER}"),
        ("The maker allows 1,400 mV on Plover's processor.", "1,400 mV", "1,325 mV",
         "limit of plover by processor for voltage"),
        ("The processor of Plover draws 140 W.", "140 W", "114.3 W (113.3 to 115.4)",
         f"draw {UNDER} read at part"),
        ("At stock Plover's processor draws 114 W.", "114 W", "91.9 W (91.3 to 92.5)",
         "draw of plover by processor at stock under integers read at part"),
        ("Tuned, Plover's processor draws 92 W.", "92 W", "114.3 W (113.3 to 115.4)",
         f"draw {UNDER} read at part"),
        ("Dunlin's undervolted card saves 40 watts.", "40 watts", "16 W less", f"added {TILES} read at part"),
        ("Dunlin's card does 20 % more work for a joule than at stock.", "20 %", "9.9 % (9.1 to 10.8) more",
         "work of dunlin by graphics under shaded-tiles read at part"),
        ("Plover has a processor clocked at 4,800 MHz.", "4,800 MHz", "4,650 MHz",
         "clock of plover by processor under integers"),
        ("At stock Plover's processor is clocked at 4,400 MHz.", "4,400 MHz", "4,500 MHz",
         "clock of plover by processor at stock"),
        ("Plover's processor stands at 1,200 mV at stock.", "1,200 mV", "1,150 mV",
         "voltage of plover by processor at stock"),
        ("Plover's processor settles at 95 °C in a room of 30 °C.", "95 °C", "86 °C",
         "steady of plover by processor"),
        ("It has 17 degrees of headroom.", "17 degrees", "9 K", "headroom of plover by processor"),
        ("Plover's processor gets 0.8 °C warmer per watt.", "0.8 °C warmer per watt", "0.49 °C/W",
         "warming of plover by processor"),
    ],
)  # fmt: skip
def test_what_it_has_otherwise_is_told_with_the_right_figure_and_its_reference(
    checked: Check, sentence: str, figure: str, right: str, address: str
) -> None:
    (found,) = checked(sentence)
    assert (found.rule, found.excerpt) == (Rule.CONTRARY_NUMBER, figure)
    assert f"{figure} is not what the record has: {right}" in found.reason.replace("\u00a0", " ")
    assert found.would_stand == f"{{{address}}}"


@pytest.mark.parametrize(
    ("sentence", "figure", "right"),
    [
        ("We raised the voltage of Plover's processor by 40 mV.", "40 mV", "95 mV above stock"),
        ("Plover is tuned 60 mV above stock.", "60 mV", "95 mV above stock"),
        ("The undervolt of Dunlin's card is 80 mV below stock.", "80 mV", "55 mV below stock"),
        ("Plover's processor runs 250 MHz over stock.", "250 MHz", "150 MHz above stock"),
        ("Plover's processor stays 20 mV below the maker's limit.", "20 mV", "80 mV below the maker's limit"),
    ],
)
def test_how_far_a_point_lies_from_another_is_told_in_words(
    checked: Check, sentence: str, figure: str, right: str
) -> None:
    (found,) = checked(sentence)
    assert (found.rule, found.excerpt) == (Rule.CONTRARY_NUMBER, figure)
    assert found.reason.replace("\u00a0", " ").endswith(f"is not what the record has: {right}")


@pytest.mark.parametrize(
    ("sentence", "excerpt"),
    [
        ("Tuning makes Plover quicker than it was at stock.", "quicker"),
        ("Tuned, Plover is 5 % faster than at stock.", "5 %"),
    ],
)
def test_a_gain_over_stock_that_no_runs_tell_is_objected_to(
    checked: Check, sentence: str, excerpt: str
) -> None:
    (found,) = checked(sentence)
    assert found.excerpt == excerpt
    assert "on record" in found.reason


@pytest.mark.parametrize(
    ("said", "excerpts"),
    [
        ("Plover's processor is tuned. It draws 114 W and settles at 86 °C.", []),
        ("Plover's processor is tuned. It draws 140 W.", ["140 W"]),
        ("Dunlin's graphics card is undervolted. It draws 114 W.", ["114 W"]),
        ("Plover's processor is tuned. It is rock solid.", ["rock solid"]),
    ],
)
def test_what_goes_on_about_a_part_is_of_that_part(checked: Check, said: str, excerpts: list[str]) -> None:
    found = checked(said)
    assert [each.excerpt for each in found] == excerpts
    assert not any("of plover in" in each.would_stand for each in found)


def test_another_paragraph_begins_anew(checked: Check) -> None:
    (found,) = checked("Plover's processor is tuned.\n\nIt draws 114 W.")
    assert "is not what the record has" in found.reason


def test_each_part_is_held_against_its_own(checked: Check) -> None:
    found = checked("Plover's processor pulls 153 W, Dunlin's card 114 W.")
    assert [each.excerpt for each in found] == ["153 W", "114 W"]


def test_an_edge_without_millivolts_is_a_lead_as_ever(checked: Check) -> None:
    (found,) = checked("Wren has the edge over Plover in Salt Causeway.")
    assert found.taken_for == "taken for: Wren ahead of Plover in Salt Causeway"


def test_watts_of_a_machine_in_a_test_are_held_against_the_wall_as_ever(checked: Check) -> None:
    (found,) = checked("Plover draws 120 W at the wall in Salt Causeway.")
    assert found.would_stand == "{watts of plover in causeway}"
    (bare,) = checked("Plover draws 301 W in Salt Causeway.")
    assert bare.rule is Rule.BARE_NUMBER


def test_two_machines_are_held_against_each_other_as_ever(checked: Check) -> None:
    found = checked("Dunlin's graphics card is 4 K cooler than Plover's at the same noise.")
    assert {each.taken_for for each in found if each.taken_for} != set()
