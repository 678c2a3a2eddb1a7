"""What was just said is said again of another test, or turned round there."""

from __future__ import annotations

import pytest
from tests.prose.conftest import Check


@pytest.mark.parametrize(
    ("sound", "over"),
    [
        (
            "In Salt Causeway Plover is ahead of Dunlin. In Nine Tramlines it's the other way round.",
            "In Salt Causeway Plover is ahead of Dunlin. In Ember Parish it's the other way round.",
        ),
        (
            "Dunlin is ahead of Plover in Photo batch. The same holds for Night render.",
            "Dunlin is ahead of Plover in Photo batch. The same holds for Timeline export.",
        ),
        (
            "Dunlin is ahead of Plover in Photo batch. Night render did as well.",
            "Dunlin is ahead of Plover in Photo batch. Timeline export did as well.",
        ),
        (
            "Plover and Dunlin are level in Quarry Choir. The same goes for Project load.",
            "Plover and Dunlin are level in Quarry Choir. The same goes for Photo batch.",
        ),
        (
            "In Salt Causeway Plover is ahead of Dunlin, and in Photo batch it's the other way round.",
            "In Salt Causeway Plover is ahead of Dunlin, and in Hollow Regatta it's the other way round.",
        ),
    ],
)
def test_the_record_of_the_other_test_decides(sound: str, over: str, checked: Check) -> None:
    assert [checked(sound), len(checked(over))] == [(), 1]


def test_a_sentence_that_names_who_is_meant_is_read_by_its_own_words(checked: Check) -> None:
    turned = (
        "In Salt Causeway Plover is ahead of Dunlin. The other way round, Dunlin is ahead in Night render."
    )
    assert not checked(turned)


def test_what_is_said_of_watts_is_not_said_again_of_speed(checked: Check) -> None:
    assert not checked("Plover draws more at the wall than Dunlin in Ember Parish. Not so in Photo batch.")


def test_a_part_named_behind_a_lead_is_told_as_its_cause(checked: Check) -> None:
    lead = "Plover is ahead of Dunlin in Ember Parish."
    assert len(checked(f"{lead} The card does that.")) == 1
    assert not checked(f"{lead} Its card is the Lantern 40.")
