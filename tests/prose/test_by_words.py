"""What no rule has words for is read by ranks, praise and blame or the margin; what nothing reads is told."""

from __future__ import annotations

import pytest
from tests.prose.conftest import Check

from evenhand.prose.objection import Rule
from evenhand.verdicts.claims import Kind


@pytest.mark.parametrize(
    ("sound", "over"),
    [
        (
            "Beaten by Plover in Ember Parish, Dunlin takes Nine Tramlines.",
            "Beaten by Plover in Night render, Dunlin takes Nine Tramlines.",
        ),
        (
            "Plover over Dunlin in Hollow Regatta, Dunlin over Plover in Night render.",
            "Plover over Dunlin in Night render, Dunlin over Plover in Hollow Regatta.",
        ),
        (
            "Night render is where Plover gets overtaken by Dunlin.",
            "Ember Parish is where Plover gets overtaken by Dunlin.",
        ),
        (
            "Wren has been outrun by the other two in Salt Causeway.",
            "Dunlin has been outrun by the other two in Nine Tramlines.",
        ),
        (
            "Dunlin nicked Photo batch from Plover, and Plover was still going when Dunlin had finished.",
            "Plover nicked Photo batch from Dunlin, and Dunlin was still going when Plover had finished.",
        ),
        (
            "Nine Tramlines? I'd steer clear of Plover.",
            "Nine Tramlines? I'd steer clear of Dunlin.",
        ),
        (
            "When a render has to run overnight, I'd rather it was Dunlin than Plover.",
            "When a render has to run overnight, I'd rather it was Plover than Dunlin.",
        ),
        (
            "I expected Dunlin to take Photo batch, and it did.",
            "I expected Plover to take Photo batch, and it did.",
        ),
        (
            "I had Plover down as the loser in Timeline export, and boy was I wrong.",
            "I had Plover down as the loser in Timeline export, and I was right.",
        ),
        (
            "Wren does its best in Hollow Regatta, but the other two are long gone.",
            "Plover does its best in Hollow Regatta, but the other two are long gone.",
        ),
        (
            "Three of the five games go to Plover over Dunlin.",
            "Three of the four work tests go to Dunlin over Plover.",
        ),
        (
            "Plover takes Salt Causeway, Dunlin Nine Tramlines.",
            "Plover takes Salt Causeway, Dunlin Ember Parish.",
        ),
        (
            "Dunlin first, Plover second, Wren third: that's Photo batch.",
            "Plover first, Dunlin second, Wren third: that's Photo batch.",
        ),
        (
            "Wren has no chance against Dunlin in Hollow Regatta.",
            "Dunlin has no chance against Wren in Hollow Regatta.",
        ),
        (
            "Watts at the wall: more for Plover than for Dunlin in all five games.",
            "Watts at the wall: less for Plover than for Dunlin in all five games.",
        ),
        (
            "Exporting the timeline, Plover is quicker than Dunlin.",
            "Rendering at night, Plover is quicker than Dunlin.",
        ),
        (
            "Plover and Dunlin are level in two of our nine tests.",
            "Plover and Dunlin are level in four of our nine tests.",
        ),
        (
            "There is daylight between Plover and Dunlin in Ember Parish.",
            "There is daylight between Plover and Dunlin in Quarry Choir.",
        ),
    ],
)
def test_a_sentence_is_read_and_not_only_its_words_known(sound: str, over: str, checked: Check) -> None:
    assert checked(sound) == ()
    assert [each.rule for each in checked(over)] != []


@pytest.mark.parametrize(
    "text",
    [
        "Set them side by side in Quarry Choir and Plover's numbers are Dunlin's in disguise.",
        "Dunlin is the whisper of the three.",
        "In Ember Parish Plover and Dunlin sing from one sheet.",
    ],
)
def test_what_nothing_reads_is_said_to_be_unread(text: str, checked: Check) -> None:
    (found,) = checked(text)
    assert (found.rule, found.excerpt) == (Rule.UNREAD, text)
    assert found.would_stand  # what the record has there


@pytest.mark.parametrize(
    "text",
    [
        "Plover sat under my desk for a week.",
        "Here comes Wren in Photo batch.",
        "We ran Plover and Dunlin in turns.",
        "Plover and Dunlin share one tune.",
        "# Plover beside Dunlin in Ember Parish",
        "Parents wrote to us about Wren.",
    ],
)
def test_what_compares_nothing_or_tells_of_method_is_left_alone(text: str, checked: Check) -> None:
    assert checked(text) == ()


def test_what_nothing_reads_is_left_alone_where_the_record_would_bear_praise(checked: Check) -> None:
    assert checked("Photo batch, well, that's a feather in Dunlin's cap.") == ()
    assert checked("Ember Parish on Plover felt like a treat after a week on Wren.") == ()
    assert checked("Night render on Plover felt like a treat after a week on Dunlin.") != ()


def test_what_a_rule_reads_is_told_by_what_it_claims_and_not_as_unread(checked: Check) -> None:
    (found,) = checked("In Quarry Choir there is no difference between Plover and Dunlin.")
    assert (found.rule, found.kind) == (Rule.CLAIM, Kind.NO_DIFFERENCE)


def test_the_year_of_a_day_is_no_claim_that_it_lasts(checked: Check) -> None:
    told = checked("At the prices of 4 May 2031 Plover is better value than Dunlin for Mostly play.")
    assert Kind.LASTING not in [each.kind for each in told]
    assert Kind.LASTING in [each.kind for each in checked("In 2031 Plover is still fast.")]


def test_a_test_and_then_a_name_says_who_is_ahead_there(checked: Check) -> None:
    assert checked("Hollow Regatta. Plover.") == ()
    assert checked("Nine Tramlines. Plover.") != ()


def test_what_a_speaker_puts_in_changes_nothing(checked: Check) -> None:
    assert checked("Plover, of course, is ahead of Dunlin in Ember Parish.") == ()
    assert checked("Plover is, honestly, ahead of Dunlin in Night render.") != ()
