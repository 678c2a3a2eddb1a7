"""Of what writers of rules may read, nearly every overclaim is caught and hardly a sound one hit."""

from __future__ import annotations

import pytest
from tests.prose.sentence_sets import sentences
from validation.sentences import OPEN, judged

from evenhand.prose.ground import Ground

LEAST_CAUGHT, MOST_ALARMS = 0.95, 0.05


@pytest.mark.parametrize("part", OPEN)
def test_overclaims_are_caught_and_sound_sentences_left_alone(part: str, ground: Ground) -> None:
    every = [judged(each, ground) for each in sentences(part)]
    over, sound = ([j for j in every if j.labelled.sound is which] for which in (False, True))
    missed = [j.labelled.text for j in over if not j.right]
    alarms = [j.labelled.text for j in sound if not j.right]
    assert len(missed) <= (1 - LEAST_CAUGHT) * len(over), missed
    assert len(alarms) <= MOST_ALARMS * len(sound), alarms
