"""Rules are data: read, checked, and told what is wrong with them; the code has no words of its own."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import evenhand.prose
from evenhand.errors import BadRecord, NotFound
from evenhand.prose.rules import read_rules, rules
from evenhand.prose.signs import FIRST

ROOM = Path(evenhand.prose.__file__).parent
LEAST = 'language = "xx"\n[said]\n[words]\n[roles]\n'
CLAIM = '[[claim]]\nname = "ahead"\nsays = "ahead"\npattern = "{}"\n'


def test_english_has_rules_for_every_sort_of_claim() -> None:
    known = rules()
    assert {rule.says for rule in known.claims} == {
        "ahead", "behind", "level", "same", "first", "last", "cause", "forecast", "lasting", "everyone",
        "silent", "leans", "steady", "neither", "apart",
    }  # fmt: skip
    assert {rule.of for rule in known.claims} == {
        "speed", "value", "noise", "heat", "power", "energy", "price",
    }  # fmt: skip


def test_a_pattern_reads_names_by_their_signs() -> None:
    known = read_rules(LEAST + CLAIM.format("<S> beats <SS>"))
    assert known.claims[0].pattern.search(f"{chr(FIRST)} beats {chr(FIRST + 1)}")


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("language = ", "cannot be read"),
        ('language = "xx"\n', "rules lack claim, roles, said, words"),
        (LEAST + CLAIM.format("("), "rule 'ahead' cannot be read"),
        (LEAST + CLAIM.format("<nobody>"), "rule 'ahead' cannot be read"),
        (
            LEAST + CLAIM.format("x").replace('"ahead"\np', '"foremost"\np'),
            "rule 'ahead' has says = 'foremost'",
        ),
    ],
)
def test_rules_that_cannot_be_used_are_told_by_name(text: str, found: str) -> None:
    with pytest.raises(BadRecord, match=re.escape(found)):
        read_rules(text)


def test_a_language_without_rules_is_told_with_those_that_have_some() -> None:
    with pytest.raises(NotFound, match="known: en"):
        rules("qq")


def test_the_code_asks_the_rules_for_nothing_that_they_lack() -> None:
    known = rules()
    asked = {
        name for file in ROOM.glob("*.py")
        for name in re.findall(r'rules\["([a-z_.]+)"\]', file.read_text(encoding="utf-8"))
    }  # fmt: skip
    assert asked <= known.found.keys()


def test_nothing_that_the_check_says_is_a_pattern() -> None:
    told = rules().said
    assert len(told) > 50
    signs = re.compile(r"[\\\[\]^$*+|]|\(\?|\)\?")
    assert {key: words for key, words in told.items() if signs.search(words)} == {}
