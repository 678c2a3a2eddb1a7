"""What somebody from the audience wants to know, read out of a question."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum

from evenhand.prose.dated import money_pattern
from evenhand.prose.ground import Ground
from evenhand.prose.lexicon import lexicon
from evenhand.prose.mentions import Signed, signed
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named
from evenhand.prose.spelling import value_of

LONGEST = 400  # signs of a question
WORD = re.compile(r"\w+")


class Matter(StrEnum):
    """What a question is about."""

    SPEED = "speed"
    VALUE = "value"
    NOISE = "noise"
    HEAT = "heat"
    POWER = "power"
    LASTING = "lasting"
    UNTESTED = "untested"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A question as it was understood. `setups` are in the order named; `under` is a budget, None for none.

    `unknown` is what it asks about that nothing on record is called, "" where there is no such thing;
    `compares` says that it holds setups against each other even where it names none.
    """

    setups: tuple[str, ...]
    matter: Matter = Matter.SPEED
    tests: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    audiences: tuple[str, ...] = ()
    under: float | None = None
    unknown: str = ""
    compares: bool = True


def wanted(question: str, ground: Ground, rules: Rules) -> Wanted:
    """What a question asks, by the names of the record and the words of a language."""
    text = question[:LONGEST]
    sentence = signed(text, lexicon(ground, rules), rules)
    money = money_pattern(ground, rules).search(sentence.text)
    under = value_of(money["n"] or money["m"], rules) if money else None
    found = {sort: sentence.keys(sort) for sort in (Named.TEST, Named.GROUP, Named.AUDIENCE)}
    unknown = "" if any(found.values()) else _unknown(sentence, text, rules)
    meant = _meant(unknown, ground)
    found |= meant
    matter = _matter(sentence, rules)
    return Wanted(
        setups=sentence.keys(Named.SETUP), matter=matter, tests=found[Named.TEST],
        groups=found[Named.GROUP], audiences=found[Named.AUDIENCE], under=under,
        unknown="" if meant else unknown,
        compares=matter is Matter.LASTING
        or bool(rules["asking.which"].search(sentence.text))
        or len(sentence.keys(Named.SETUP)) > 1,
    )  # fmt: skip


def _matter(sentence: Signed, rules: Rules) -> Matter:
    """The first matter whose words are in it; speed where none are."""
    asked = (matter for matter in Matter if matter is not Matter.SPEED)
    return next((m for m in asked if rules[f"asking.{m.value}"].search(sentence.text)), Matter.SPEED)


def _meant(words: str, ground: Ground) -> dict[Named, tuple[str, ...]]:
    """The one audience, test or group whose name alone holds all these words, if one does."""
    wanted_words = set(WORD.findall(words.casefold()))
    called = [
        *((Named.AUDIENCE, key, name) for key, name in ground.audiences.items()),
        *((Named.TEST, test.key, test.name) for test in ground.tests),
        *((Named.GROUP, group, group) for group in ground.groups),
    ]
    like = [(sort, key) for sort, key, name in called if wanted_words <= set(WORD.findall(name.casefold()))]
    return {like[0][0]: (like[0][1],)} if wanted_words and len(like) == 1 else {}


def _unknown(sentence: Signed, text: str, rules: Rules) -> str:
    """What stands behind "for" or "in" and names nothing of the record."""
    found = rules["asking.whom"].search(sentence.text)
    if found is None or rules["asking.anything"].fullmatch(found["x"].strip()):
        return ""
    start, end = sentence.source(*found.span("x"))
    return text[start:end].strip()
