"""What no rule has words for is read by ranks, praise and blame or the margin; what nothing reads is told."""

from __future__ import annotations

import pytest
from tests.prose.conftest import Check

from evenhand.prose.objection import Rule


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


def test_what_a_speaker_puts_in_changes_nothing(checked: Check) -> None:
    assert checked("Plover, of course, is ahead of Dunlin in Ember Parish.") == ()
    assert checked("Plover is, honestly, ahead of Dunlin in Night render.") != ()
