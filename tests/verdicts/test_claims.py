"""Words keep names and numbers in slots until somebody tells them."""

from tests.verdicts.ladder_cases import workshop

from evenhand.verdicts.claims import As
from evenhand.verdicts.publishable import publishable


def test_names_and_numbers_are_told_by_whoever_publishes():
    said = publishable(workshop())[0].said
    voice = {As.SETUP: lambda keys: keys[0].title(), As.AUDIENCE: lambda keys: "mostly play"}
    assert said.told(voice) == "For mostly play, Plover and Dunlin are level within 3 % on what was measured."
