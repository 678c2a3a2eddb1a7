"""What somebody from the audience wants to know, read out of a question."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from enum import StrEnum

from evenhand.prose.budgets import Budget, budget
from evenhand.prose.ground import Ground
from evenhand.prose.lexicon import however_written, lexicon
from evenhand.prose.mentions import Signed, signed
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named
from evenhand.prose.spelling import value_of

LONGEST = 400  # signs of a question
WORD = re.compile(r"\w+")


class Matter(StrEnum):
    """What a question is about."""

    SPEED = "speed"
    CAUSE = "cause"
    VALUE = "value"
    NOISE = "noise"
    HEAT = "heat"
    POWER = "power"
    LASTING = "lasting"
    UNTESTED = "untested"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A question as it was understood. `setups` are in the order named; `kind` of part is for a cause.

    `unknown` is what it asks about that nothing on record is called, "" where there is no such thing;
    `compares` says that it holds setups against each other even where it names none, `against` that it holds
    the one that it names against something else. `parts` are those named where no setup is: what they do is
    asked, which only causes answer. `buys` says that it asks what to buy, which value answers as well.
    `metric` is the number that it asks by, where that is another than the headline one.
    """

    setups: tuple[str, ...]
    matter: Matter = Matter.SPEED
    tests: tuple[str, ...] = ()
    groups: tuple[str, ...] = ()
    audiences: tuple[str, ...] = ()
    budget: Budget | None = None
    kind: str = ""
    unknown: str = ""
    compares: bool = True
    against: bool = False
    parts: tuple[str, ...] = ()
    buys: bool = False
    metric: str = ""


def wanted(question: str, ground: Ground, rules: Rules) -> Wanted:
    """What a question asks, by the names of the record and the words of a language."""
    text = question[:LONGEST]
    names = however_written(
        lexicon(ground, rules), Named.SETUP
    )  # who asks in a hurry uses no capital letters
    sentence = signed(text, names, rules)
    found = {sort: sentence.keys(sort) for sort in (Named.TEST, Named.GROUP, Named.AUDIENCE)}
    matter = _matter(sentence, rules)
    unknown = "" if any(found.values()) or matter is Matter.CAUSE else _unknown(sentence, text, rules)
    meant = _meant(unknown, ground)
    found |= meant
    asked = Wanted(
        setups=sentence.keys(Named.SETUP), matter=matter, tests=found[Named.TEST],
        groups=found[Named.GROUP], audiences=found[Named.AUDIENCE],
        budget=budget(sentence.text, ground, rules), kind=_kind(sentence, ground),
        unknown="" if meant else unknown, compares=_compares(sentence, matter, rules),
        against=bool(rules["asking.against"].search(sentence.text)),
        buys=bool(rules["asking.buying"].search(sentence.text)), metric=_metric(sentence, rules),
    )  # fmt: skip
    parts = sentence.keys(Named.PART)
    if not parts or asked.setups or matter is not Matter.SPEED:
        return asked
    return replace(asked, matter=Matter.CAUSE, compares=True, parts=parts, unknown="")


def _compares(sentence: Signed, matter: Matter, rules: Rules) -> bool:
    """Whether it asks what is on record against each other, be it only by naming for whom or in what."""
    about = (Named.TEST, Named.GROUP, Named.AUDIENCE)
    return (
        matter in (Matter.LASTING, Matter.CAUSE)
        or any(sentence.keys(sort) for sort in about)
        or bool(rules["asking.which"].search(sentence.text))
        or len(sentence.keys(Named.SETUP)) > 1
    )


def _kind(sentence: Signed, ground: Ground) -> str:
    """The kind of part that it names, by itself or by a part; "" for none."""
    parts = (ground.kinds_of(part) for part in sentence.keys(Named.PART))
    return next(iter((*sentence.keys(Named.KIND), *parts)), "")


def _metric(sentence: Signed, rules: Rules) -> str:
    """The number by which it asks, beside averages and scores, which are what everything is told by."""
    low = (metric for metric in rules.metrics if "low" in metric.sorts)
    return next((metric.key for metric in low if metric.pattern.search(sentence.text)), "")


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
    if value_of(found["x"], rules) is not None:
        return ""
    start, end = sentence.source(*found.span("x"))
    return text[start:end].strip()
