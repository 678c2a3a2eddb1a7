"""What a script may say on the example's record, and what is objected to, with what would stand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.prose.conftest import Check

from evenhand.demo.narration import checked_draft, first_draft
from evenhand.prose.checking import check
from evenhand.prose.ground import Ground
from evenhand.prose.objection import Rule
from evenhand.prose.quotables import Quotables
from evenhand.prose.rules import rules
from evenhand.prose.script import parse
from evenhand.publish.names import SetupName
from evenhand.records.publications import How
from evenhand.verdicts.claims import Kind


def test_a_sentence_that_stands_is_left_alone(checked: Check) -> None:
    assert checked("In Salt Causeway, Plover beats Dunlin. Dunlin leads Plover in Nine Tramlines.") == ()


@pytest.mark.parametrize(
    ("text", "kind", "would"),
    [
        (
            "Plover trails Dunlin in Salt Causeway.",
            Kind.TEST,
            "In Salt Causeway, Plover is ahead of Dunlin by",
        ),
        ("Over all nine tests, Plover is ahead of Dunlin.", Kind.INDEX, "are level within"),
        (
            "For Mostly play, Plover is ahead of Dunlin.",
            Kind.AUDIENCE,
            "For Mostly play, Plover and Dunlin are level",
        ),
        ("Plover is the fastest of the three.", Kind.SUPERLATIVE, "Over these nine tests"),
        ("In Quarry Choir, Plover and Dunlin are identical.", Kind.NO_DIFFERENCE, "are level within"),
        ("In Ember Parish, Plover and Dunlin are level.", Kind.LEVEL, "Plover is ahead of Dunlin"),
        ("Plover wins Ember Parish thanks to its Lantern 40.", Kind.CAUSE, "In Salt Causeway, graphics puts"),
        ("In most games Plover will be ahead of Dunlin.", Kind.FORECAST, "over these five tests"),
        ("Plover is future-proof.", Kind.LASTING, "nothing is known of later"),
        ("In Salt Causeway, Plover is quieter than Dunlin.", Kind.NOISE, "Dunlin is quieter than Plover by"),
        ("In Salt Causeway, Wren draws more than Plover.", Kind.POWER, "more at the wall than Wren"),
    ],
)
def test_a_claim_above_its_rung_is_told_with_the_reason_and_what_stands(
    text: str, kind: Kind, would: str, checked: Check
) -> None:
    first, *_ = checked(text)
    assert (first.rule, first.kind) == (Rule.CLAIM, kind)
    assert first.reason
    assert first.taken_for.startswith("taken for: ")
    assert would in first.would_stand


def test_the_widest_reading_is_taken_and_told(checked: Check) -> None:
    (objection,) = checked("Plover is faster than Dunlin.")
    assert objection.taken_for == "taken for: Plover ahead of Dunlin over all tests"


def test_parts_that_are_level_within_kelvins_are_not_taken_for_machines_level_in_speed(
    checked: Check,
) -> None:
    said = "In Ember Parish, at the same noise, the graphics of Plover and of Dunlin are level within 2.0 K."
    (objection,) = checked(said)
    assert objection.kind is Kind.HEAT
    assert "in temperature of graphics" in objection.taken_for
    assert checked(said.replace("In Ember Parish", "At idle")) == ()


def test_the_coolest_of_all_is_understood_without_a_part_that_nobody_named(checked: Check) -> None:
    (objection, *_) = checked("Plover is the coolest.")
    assert "in temperature" in objection.taken_for
    assert "temperature of" not in objection.taken_for


@pytest.mark.parametrize("multiple", ["twice", "three times"])
def test_a_multiple_is_no_word_for_level(checked: Check, multiple: str) -> None:
    (objection,) = checked(f"In Salt Causeway, Plover is {multiple} as fast as Wren.")
    assert "level" not in objection.reason
    assert "level" not in objection.taken_for


def test_a_heading_a_question_and_what_was_said_before_give_the_scope(checked: Check) -> None:
    assert checked("## Night render\n\nDunlin is quicker than Plover.") == ()
    assert checked("What about Night render? Dunlin is quicker than Plover.") == ()
    assert checked("Plover is ahead of Dunlin in Hollow Regatta. It is ahead of Wren there as well.") == ()
    assert checked("## Salt Causeway\n\nDunlin is quicker than Plover.") != ()


@pytest.mark.parametrize(
    "text",
    [
        "Is Plover the fastest of the three?",
        "I can't say which of Plover and Dunlin is faster.",
        "Neither Plover nor Dunlin is faster over all nine tests.",
        "If prices fall, Dunlin might be the better value than Plover.",
        "Somebody called Plover \"the fastest\", and I can't back that up.",
        "Plover and Dunlin have the same memory.",
        "We tested at 1440p, five runs each, in a room of 24 °C.",
        "Chapter 3 shows Plover and Dunlin by noise.",
    ],
)  # fmt: skip
def test_what_claims_nothing_is_left_alone(text: str, checked: Check) -> None:
    assert checked(text) == ()


def test_a_typed_figure_is_offered_its_reference_right_or_wrong(checked: Check) -> None:
    (right,) = checked("Plover reaches 88.0 fps in Salt Causeway.")
    assert (right.rule, right.would_stand) == (Rule.BARE_NUMBER, "{rate of plover in causeway}")
    (wrong,) = checked("Plover reaches 95 fps in Salt Causeway.")
    assert wrong.rule is Rule.CONTRARY_NUMBER
    assert "88.0\N{NO-BREAK SPACE}fps (" in wrong.reason
    assert checked(f"Plover reaches {right.would_stand} in Salt Causeway.") == ()


@pytest.mark.parametrize(
    ("text", "would"),
    [
        ("In games Plover is ahead of Dunlin by 12 %.", "{lead of plover over dunlin across games}"),
        ("Plover is 30 % quicker than Dunlin in games.", "{lead of plover over dunlin across games}"),
        (
            "Plover draws 20 % less than Dunlin at the wall in Timeline export.",
            "{watts of plover below dunlin in export}",
        ),
    ],
)
def test_a_typed_figure_is_offered_one_of_the_sort_that_its_words_are_of(
    text: str, would: str, checked: Check
) -> None:
    assert would in [o.would_stand for o in checked(text) if o.rule is Rule.CONTRARY_NUMBER]


def test_a_reference_of_something_else_is_told_with_the_right_one(checked: Check) -> None:
    (found,) = checked(
        "In Hollow Regatta, Plover is ahead of Dunlin by {lead of plover over dunlin in causeway}."
    )
    assert found.rule is Rule.CONTRARY_NUMBER
    assert found.would_stand == "{lead of plover over dunlin in regatta}"
    sort, *_ = checked("In Salt Causeway, Plover draws {rate of plover in causeway} at the wall.")
    assert sort.rule is Rule.CONTRARY_NUMBER


def test_prices_need_their_day_and_the_right_one(checked: Check) -> None:
    (undated,) = checked("Plover costs {price of plover}.")
    assert (undated.rule, undated.would_stand) == (Rule.UNDATED, "at the prices of 24 November 2026")
    assert checked("Plover costs {price of plover, with range}.") == ()
    assert checked("On 24 November 2026 Plover cost 998 drell.") == ()
    assert [o.rule for o in checked("On 24 November 2026 Plover cost 900 drell.")] == [Rule.CONTRARY_NUMBER]
    assert [o.rule for o in checked("On 1 May 2026 Plover cost 998 drell.")] == [Rule.CONTRARY_NUMBER]


def test_a_metric_needs_its_meaning_once(checked: Check) -> None:
    text = "By the 1% low, Plover is ahead of Dunlin in Salt Causeway."
    assert [o.rule for o in checked(text)] == [Rule.UNDEFINED]
    assert checked(f"The 1% low is the rate that 99 of 100 frames keep. {text}") == ()
    assert [o.rule for o in checked(f"{text} The 1% low is nice.")] == [Rule.UNDEFINED]


def test_a_loan_is_to_be_said_somewhere(ground: Ground) -> None:
    own = replace(ground, disclosures={"harrowfen-lantern-40": (How.LOAN,)})
    text = "Inside Plover is the Lantern 40."
    (found,) = check(parse(text), own, rules())
    assert found.rule is Rule.UNDISCLOSED
    assert "lent, and to be given back" in found.would_stand
    assert check(parse(f"{text} Harrowfen lent us that card."), own, rules()) == ()


def test_where_a_machine_with_a_lent_part_is_praised_the_words_of_praise_are_shown(ground: Ground) -> None:
    own = replace(ground, disclosures={"harrowfen-lantern-40": (How.LOAN,)})
    (found,) = check(parse("In Salt Causeway, Plover is ahead of Dunlin."), own, rules())
    assert (found.rule, found.excerpt) == (Rule.UNDISCLOSED, "ahead of")


def test_tests_that_are_counted_are_counted_again(checked: Check) -> None:
    assert checked("Plover leads Dunlin in four of the nine tests.") == ()
    assert [o.rule for o in checked("Plover leads Dunlin in six of the nine tests.")] == [
        Rule.CONTRARY_NUMBER
    ]


@pytest.mark.parametrize(
    ("sound", "over"),
    [
        ("no more than four of the nine tests", "no more than three of the nine tests"),
        ("at least four of the nine tests", "at least five of the nine tests"),
        ("more than three of the nine tests", "more than four of the nine tests"),
        ("fewer than five of the nine tests", "fewer than four of the nine tests"),
        ("less than half of the tests", "most of the tests"),
    ],
)
def test_a_count_that_is_a_bound_is_held_against_the_record_as_one(
    sound: str, over: str, checked: Check
) -> None:
    assert checked(f"Plover leads Dunlin in {sound}.") == ()
    assert [o.rule for o in checked(f"Plover leads Dunlin in {over}.")] == [Rule.CONTRARY_NUMBER]


def test_shares_and_multiples_in_words_are_figures_of_a_result(checked: Check) -> None:
    for said in (
        "is a sixth faster than",
        "runs at roughly double the rate of",
        "is a whole quarter ahead of",
    ):
        (found,) = checked(f"In Salt Causeway Plover {said} Dunlin.")
        assert found.rule is Rule.CONTRARY_NUMBER
    assert checked("A third of this video is about Plover.") == ()


def test_an_unknown_reference_is_told_where_it_stands(checked: Check) -> None:
    (found,) = checked("Hi.\n\nPlover does {rate of plover in causway} there.")
    assert (found.rule, found.place.line, found.place.column) == (Rule.REFERENCE, 3, 13)
    assert "did you mean" in found.would_stand


def test_the_examples_script_stands_after_the_check_and_not_before(ground: Ground) -> None:
    own = replace(ground, disclosures={"harrowfen-lantern-40": (How.LOAN,)})
    before, after = (check(parse(text), own, rules()) for text in (first_draft(), checked_draft()))
    assert after == ()
    assert {o.rule for o in before} >= {
        Rule.CLAIM, Rule.BARE_NUMBER, Rule.CONTRARY_NUMBER, Rule.UNDATED, Rule.UNDEFINED, Rule.UNDISCLOSED,
        Rule.EVERYONE,
    }  # fmt: skip


WORDS = st.sampled_from([
    "Plover", "Dunlin's", "is", "ahead of", "in", "Salt Causeway", "because of", "the Lantern 40", "{margin}",
    "{x", "88 fps", "742 drell", ".", ",", "?", "\n\n", "## ", "it", "both", "the fastest", "for years", '"',
    "Ж", "1% low",
])  # fmt: skip


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(text=st.lists(WORDS, max_size=30).map(" ".join) | st.text(max_size=80))
def test_whatever_is_written_every_objection_points_at_its_words(text: str, checked: Check) -> None:
    for objection in checked(text):
        place = objection.place
        assert text[place.start : place.end] == objection.excerpt
        assert objection.reason


def test_a_sentence_that_is_too_long_to_be_read_is_told_as_that(checked: Check) -> None:
    (found,) = checked("Plover is the fastest, " * 60 + "so it is.")
    assert found.rule is Rule.UNREAD
    assert "800 at most" in found.reason


def test_an_answer_goes_with_its_question(checked: Check) -> None:
    assert checked("The fastest in Salt Causeway? Plover.") == ()
    assert [o.kind for o in checked("The fastest in Quarry Choir? Plover.")] == [Kind.SUPERLATIVE]


def test_a_part_told_in_one_breath_with_a_lead_is_read_as_its_cause(checked: Check) -> None:
    assert checked("With the Lantern 40, Plover leads Dunlin in Salt Causeway.") == ()
    assert [o.kind for o in checked("With the Lantern 40, Plover leads Dunlin in Ember Parish.")] == [
        Kind.CAUSE
    ]
    assert [o.kind for o in checked("In Ember Parish the Lantern 40 beats the Lantern 36.")] == [Kind.CAUSE]


MANY_WAYS = """
Plover is the fastest. It is quieter than anything, draws least, and is the most efficient.
For streamers it is best. Plover and Dunlin are identical, thanks to the Lantern 40.
It costs 998 dl, the best value, and does 88 fps for years.
"""


@pytest.mark.parametrize("setups", [(), ("plover-mild",), ("plover-mild", "dunlin-mild")])
def test_a_study_of_few_setups_without_results_prices_or_parts_is_no_trouble(
    setups: tuple[str, ...], ground: Ground
) -> None:
    bare = replace(
        ground, setups=setups, backings={}, audiences={}, parts=(), inside={}, prices={}, currency=None,
        quotables=Quotables(figures={}),
    )  # fmt: skip
    check(parse(MANY_WAYS), bare, rules())
    check(parse(MANY_WAYS), replace(bare, tests=()), rules())


def test_very_long_names_and_names_from_right_to_left_are_found(ground: Ground) -> None:
    hebrew, long = "\u05e9\u05dc\u05d5\u05dd", "D" * 300
    called = {"plover-mild": SetupName(name=hebrew, slot=1), "dunlin-mild": SetupName(name=long, slot=2)}
    names = replace(ground.names, setups=called)
    own = replace(ground, names=names)
    text = f"{hebrew} is future-proof. {long} is future-proof."
    assert [o.kind for o in check(parse(text), own, rules())] == [Kind.LASTING, Kind.LASTING]


@pytest.mark.parametrize(
    "text",
    [
        "Will you notice? In Project load nobody would notice the swap from Plover to Dunlin.",
        "Trade Plover for Dunlin in Project load, and nothing would change.",
        "Expect Plover to lead Dunlin in games that we did not get to.",
        "Dunlin takes twelve minutes per export.",
        "Which is faster over all nine we can say: Plover is ahead of Dunlin.",
        "Dunlin beats Plover in Night render by more than a quarter.",
        "Plover works more softly than Dunlin in Salt Causeway.",
        "Dunlin runs more loudly than Plover in Salt Causeway.",
        "Pound for pound Wren gives less than Dunlin at the prices of 24 November 2026.",
    ],
)
def test_further_ways_to_say_too_much_are_caught(checked: Check, text: str) -> None:
    assert checked(text)


@pytest.mark.parametrize(
    "text",
    [
        "Why Dunlin leads Plover in Photo batch nobody can say, since processor and board both differ.",
        "The harbour choir asked us what an upgrade brings them.",
        "Plover or Dunlin? Dunlin is the quieter of the two in Salt Causeway.",
        "In Salt Causeway Dunlin is the quieter of the two, by {noise of dunlin below plover in causeway}.",
        "We gave each machine ten minutes before the first run.",
    ],
)
def test_further_ways_to_say_no_more_than_the_record_are_left_alone(checked: Check, text: str) -> None:
    assert not checked(text)
