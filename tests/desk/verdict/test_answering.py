"""Questions from the audience: answered from the record, as measured, as follows from it, or not known."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW
from tests.desk.verdict.questions import said, words

from evenhand.desk.publication.imprint import change_imprint
from evenhand.desk.verdict.answering import Known, answer
from evenhand.errors import BadRecord, NotFound
from evenhand.store.workbench import Workbench, open_workbench


def test_a_test_is_answered_as_measured_with_its_address(saltmarsh: Workbench) -> None:
    found = said(saltmarsh, "Which is faster in Salt Causeway, Plover or Wren?")
    assert found.known is Known.MEASURED
    assert "Plover is ahead of Wren by 44.3 %" in words(found)
    assert found.lines[0].address == "#test-causeway-plover-mild-wren-mild"


def test_for_whom_and_under_a_sum_follows_from_what_was_measured(saltmarsh: Workbench) -> None:
    found = said(saltmarsh, "Is Plover better than Dunlin for Mostly play under 1,000 dl?")
    assert found.known is Known.FOLLOWS
    told = words(found)
    assert "For Mostly play, Plover and Dunlin are level within 3 %" in told
    assert "Plover is better value than Dunlin while Plover costs less than 1,019 dl" in told
    assert "Plover: 998 dl on 24 November 2026, within 1,000 dl." in told
    assert "Dunlin: 1,012 dl on 24 November 2026, above 1,000 dl." in told


@pytest.mark.parametrize(
    ("question", "told"),
    [
        ("Which machine should I buy for games under 800 dl?", "Within 800 dl only Wren is left."),
        ("Which is best for Mostly play under 1000?", "Within 1,000 dl Plover and Wren are left."),
        ("Which is best for Mostly play under 1.000 dl?", "Within 1,000 dl Plover and Wren are left."),
        ("What should I get for 800?", "Within 800 dl only Wren is left."),
        ("Mostly editing with a budget of 2,000 drell", "Plover, Dunlin and Wren are within 2,000 dl."),
        (
            "Which is best below 500 dl?",
            "None of them is within 500 dl: nearest is Wren, 742 dl on 24 November 2026.",
        ),
        ("Is Plover better than Dunlin under 1,000 dl?", "Within 1,000 dl only Plover is left."),
        ("Which is best under €1,000?", "in another currency leaves out nothing"),
        ("Which is best under 1000 euros?", "in another currency leaves out nothing"),
        ("Which is best under 1000 XYZ?", "in another currency leaves out nothing"),
        ("Which is best under -5 dl?", "A budget is more than nothing"),
        ("Which is best for nothing, 0 dl?", "A budget is more than nothing"),
    ],
)
def test_a_budget_says_first_what_it_leaves(saltmarsh: Workbench, question: str, told: str) -> None:
    assert told in said(saltmarsh, question).budget[0].replace("\N{NO-BREAK SPACE}", " ")


@pytest.mark.parametrize(
    "question", ["Which is faster under 100 watts?", "Which is level within 3 %?", "Which for 2 hours?"]
)
def test_a_number_of_something_else_is_no_budget(saltmarsh: Workbench, question: str) -> None:
    assert said(saltmarsh, question).budget == ()


def test_only_what_the_budget_leaves_is_held_against_each_other(saltmarsh: Workbench) -> None:
    told = " ".join(line.words for line in said(saltmarsh, "Which is best for games under 1000?").lines)
    assert "Plover is ahead of Wren" in told
    assert "Dunlin" not in told


@pytest.mark.parametrize(
    ("question", "told"),
    [
        (
            "Which is best for games under 800?",
            "Of all on record Wren alone is to be had for that: there is nothing to choose between.",
        ),
        (
            "Should I buy Wren under 800 dl?",
            "Of all on record Wren alone is to be had for that: there is nothing to choose between.",
        ),
        ("Should I buy Plover under 800 dl?", "Plover is not to be had for that."),
    ],
)
def test_where_the_budget_leaves_one_it_is_held_against_nothing_that_cannot_be_bought(
    saltmarsh: Workbench, question: str, told: str
) -> None:
    found = said(saltmarsh, question)
    assert [line.words for line in found.lines] == [told]
    assert found.budget[0] == "Within 800\xa0dl only Wren is left."


def test_whoever_asks_what_to_buy_is_told_of_value_before_each_audience(saltmarsh: Workbench) -> None:
    told = [line.words for line in said(saltmarsh, "Should I buy Wren?").lines]
    assert "Over these nine tests, Plover is ahead of Wren" in told[0]
    assert "For Mostly play, Wren is better value than Plover while Plover costs more than" in told[1]
    assert sum("better value" in each for each in told) == 2 * 4
    assert not any("ahead" in each for each in told if each.startswith("For"))
    for_one = words(said(saltmarsh, "Should I buy Wren for Mostly play?"))
    assert "For Mostly play, Plover is ahead of Wren" in for_one
    assert "For Mostly play, Wren is better value than Plover" in for_one


def test_where_the_budget_leaves_none_nothing_is_held_against_each_other(saltmarsh: Workbench) -> None:
    found = said(saltmarsh, "Which is best for games under 500 dl?")
    assert found.budget[0].startswith("None of them is within")
    assert (found.known, found.lines) == (Known.UNKNOWN, ())


def test_names_may_be_written_without_capital_letters(saltmarsh: Workbench) -> None:
    small = said(saltmarsh, "is plover better than dunlin for mostly play?")
    assert small.asked.setups == ("plover-mild", "dunlin-mild")
    assert small.lines == said(saltmarsh, "Is Plover better than Dunlin for Mostly play?").lines


def test_of_one_setup_it_is_told_against_each_other(saltmarsh: Workbench) -> None:
    assert "No ageing trials" in words(said(saltmarsh, "Will Plover last five years?"))
    because = words(said(saltmarsh, "Is Plover faster because of its graphics card?"))
    assert "In Salt Causeway, graphics puts Plover ahead of Dunlin" in because
    assert "no setup on record tells them apart" in because
    assert because.splitlines()[0] in words(said(saltmarsh, "Why is Plover ahead of Dunlin?"))


def test_an_audience_is_known_by_a_part_of_its_name_that_no_other_has(saltmarsh: Workbench) -> None:
    found = said(saltmarsh, "Which should I buy for editing?")
    assert found.asked.audiences == ("mostly-editing",)
    assert "For Mostly editing, Dunlin is ahead of Wren" in words(found)
    assert said(saltmarsh, "Which is better for mostly?").asked.audiences == ()


def test_what_holds_for_every_pair_is_said_once(saltmarsh: Workbench) -> None:
    told = [line.words for line in said(saltmarsh, "Will it last?").lines]
    assert len(told) == len(set(told)) <= 3


def test_a_question_about_parts_is_answered_by_causes_alone(saltmarsh: Workbench) -> None:
    found = said(saltmarsh, "Is the Lantern 40 faster than the Lantern 36 in Salt Causeway?")
    assert found.asked.parts
    assert len(found.lines) == 1
    assert words(found) == "In Salt Causeway, graphics puts Plover ahead of Dunlin."
    assert "cause-graphics" in found.lines[0].address
    whole = said(saltmarsh, "Is the Lantern 40 faster than the Lantern 36?")
    assert not any("Over these nine tests" in line.words for line in whole.lines)
    assert not any("Wren" in line.words for line in whole.lines)


def test_the_order_in_which_the_two_are_named_changes_nothing(saltmarsh: Workbench) -> None:
    one, other = (said(saltmarsh, q) for q in ("Is Plover ahead of Dunlin?", "Is Dunlin ahead of Plover?"))
    assert one.lines == other.lines


@pytest.mark.parametrize(
    ("question", "told"),
    [
        ("Will Plover last longer than Dunlin?", "No ageing trials"),
        ("Is Plover faster than Dunlin in other games?", "A title not tested may fall anywhere"),
        ("Is Plover better than Dunlin for video calls?", "Nothing on record is called “video calls”"),
        ("Will it last?", "No ageing trials"),
        ("Does Plover crash?", "No ageing trials"),
        ("Will Plover be faster in games you did not test?", "A title not tested may fall anywhere"),
        ("Is Plover good for 4K?", "Nothing on record is called “4K”"),
        ("Is Plover better than Gull?", "only Plover is on record"),
        ("What time is it? <b>", "names none of the setups"),
        ("Is Plover cooler than Dunlin in Salt Causeway?", "No levels in common"),
    ],
)
def test_what_nobody_measured_is_not_known_and_says_why(
    saltmarsh: Workbench, question: str, told: str
) -> None:
    found = said(saltmarsh, question)
    assert told in words(found)
    if "time" not in question:
        assert found.known is Known.UNKNOWN


def test_who_asks_of_lows_is_told_of_lows_and_that_they_are_it(saltmarsh: Workbench) -> None:
    found = said(saltmarsh, "Which has the best 1% lows in Ember Parish?")
    assert "By the 1% low: In Ember Parish, Plover is ahead of Wren by 36.8 % (34.2 to 39.4)." in words(found)
    assert {line.address for line in found.lines} == {""}
    everywhere = said(saltmarsh, "Has Plover better lows than Dunlin?")
    assert len(everywhere.lines) == 5  # the games: a score has no lows


def test_a_question_of_anything_is_one_over_all_tests(saltmarsh: Workbench) -> None:
    assert "Over these nine tests, Plover is ahead" in words(
        said(saltmarsh, "Is Wren faster than Plover in anything?")
    )


def test_what_is_measured_in_one_place_and_open_in_another_says_where(saltmarsh: Workbench) -> None:
    found = said(saltmarsh, "Is Dunlin quieter than Plover?")
    assert found.known is Known.MEASURED
    assert "In Salt Causeway, Dunlin is quieter than Plover by 2.9 dB" in words(found)
    assert "Idle: " in words(found)


def test_a_claim_leads_to_where_it_is_published(told_file: Path, tmp_path: Path) -> None:
    shutil.copy(told_file, tmp_path / "bench.evenhand")
    with open_workbench(tmp_path / "bench.evenhand") as wb:
        change_imprint(wb, {"place": "https://bench.example/saltmarsh"}, now=NOW)
        found = said(wb, "Plover or Wren in Night render?")
    assert found.lines[0].address == "https://bench.example/saltmarsh#test-render-plover-mild-wren-mild"


def test_nothing_asked_and_no_such_study_are_told(wb: Workbench, tmp_path: Path) -> None:
    with pytest.raises(BadRecord, match="nothing was asked"):
        answer(wb, "quay", "  ")
    with pytest.raises(NotFound):
        answer(wb, "quay", "Plover or Wren?")
