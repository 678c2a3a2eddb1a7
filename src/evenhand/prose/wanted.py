"""What somebody from the audience wants to know, read out of a question."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from enum import StrEnum

from evenhand.prose.budgets import Budget, budget, budget_span
from evenhand.prose.ground import Ground
from evenhand.prose.lexicon import however_written, lexicon, stem
from evenhand.prose.mentions import Signed, signed
from evenhand.prose.rules import Rules
from evenhand.prose.signs import Named
from evenhand.prose.spelling import value_of
from evenhand.prose.unheard import Span, unheard

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
    TUNED = "tuned"
    LASTING = "lasting"
    UNTESTED = "untested"


NOT_BY_WORDS = (Matter.TUNED, Matter.LASTING, Matter.UNTESTED)  # answered whatever else is asked
WHOLE = (Matter.SPEED, Matter.VALUE)  # what is known of whole machines, and of no part of them


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A question as it was understood. `setups` are in the order named; `kind` of part is for a cause.

    `unknown` is what it asks about that nothing on record is called, "" where there is no such thing;
    `compares` says that it holds setups against each other even where it names none, `against` that it holds
    the one that it names against something else. `parts` are those named where no setup is: what they do is
    asked, which only causes answer. `buys` says that it asks what to buy, which value answers as well.
    `metric` is the number that it asks by, where that is another than the headline one. `unheard` are words
    of it that nothing on record answers to, as they were written.
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
    unheard: tuple[str, ...] = ()

    @property
    def not_on_record(self) -> tuple[str, ...]:
        """All of it that names nothing on record and that nothing there answers to."""
        return (*self.unheard, *([self.unknown] if self.unknown else []))


def wanted(question: str, ground: Ground, rules: Rules) -> Wanted:
    """What a question asks, by the names of the record and the words of a language."""
    text = question[:LONGEST]
    names = however_written(
        lexicon(ground, rules), Named.SETUP
    )  # who asks in a hurry uses no capital letters
    sentence = signed(text, names, rules)
    found = {sort: sentence.keys(sort) for sort in (Named.TEST, Named.GROUP, Named.AUDIENCE)}
    matter = _matter(sentence, ground, rules)
    sum_ = budget_span(sentence.text, ground, rules)
    named = any(found.values()) or matter is Matter.CAUSE
    where, titled = ((0, 0), False) if named else _unknown(sentence, rules, sum_)
    unknown = _written(sentence, text, where)
    meant = _meant(unknown, ground, rules)
    if not meant and not titled:  # words like any others
        where, unknown = (0, 0), ""
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
    if parts and not asked.setups and matter is Matter.SPEED:
        asked = replace(asked, matter=Matter.CAUSE, compares=True, parts=parts, unknown="")
        where = where if meant else (0, 0)
    if matter in NOT_BY_WORDS:
        return asked
    left = unheard(sentence, text, rules, heard=(sum_, where), kinds=asked.matter in WHOLE)
    return replace(asked, unheard=left)


def _compares(sentence: Signed, matter: Matter, rules: Rules) -> bool:
    """Whether it asks what is on record against each other, be it only by naming for whom or in what."""
    about = (Named.TEST, Named.GROUP, Named.AUDIENCE)
    return (
        matter in (Matter.TUNED, Matter.LASTING, Matter.CAUSE)
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


def _matter(sentence: Signed, ground: Ground, rules: Rules) -> Matter:
    """The first matter whose words are in it; speed where none are. Of tuning only where there are trials."""
    named = sentence.keys(Named.SETUP)
    tried = any(held.setup in named or not named for held in ground.held)
    asked = (m for m in Matter if m is not Matter.SPEED and (tried or m is not Matter.TUNED))
    return next((m for m in asked if rules[f"asking.{m.value}"].search(sentence.text)), Matter.SPEED)


def _meant(words: str, ground: Ground, rules: Rules) -> dict[Named, tuple[str, ...]]:
    """The one audience, test or group whose name alone holds all these words, however they end."""
    wanted_words = _stems(words, rules)
    called = [
        *((Named.AUDIENCE, key, name) for key, name in ground.audiences.items()),
        *((Named.TEST, test.key, test.name) for test in ground.tests),
        *((Named.GROUP, group, group) for group in ground.groups),
    ]
    like = [(sort, key) for sort, key, name in called if wanted_words <= _stems(name, rules)]
    return {like[0][0]: (like[0][1],)} if wanted_words and len(like) == 1 else {}


def _stems(words: str, rules: Rules) -> set[str]:
    """Words without what they may end in, once and again: games, gaming and gamer are one."""
    return {stem(stem(word, rules), rules) for word in WORD.findall(words.casefold())}


def _unknown(sentence: Signed, rules: Rules, sum_: Span) -> tuple[Span, bool]:
    """Where that stands behind "for", "in", "with" or "on" which names nothing of the record and is no sum.

    (0, 0) for none; and whether it is behind one of the first two, as whom or which title it is for.
    """
    found = rules["asking.whom"].search(sentence.text)
    if found is None or rules["asking.anything"].fullmatch(found["x"].strip()):
        return (0, 0), False
    start, end = found.span("x")
    if value_of(found["x"], rules) is not None or (sum_[0] < end and start < sum_[1]):
        return (0, 0), False
    return (start, end), found["for"] is not None


def _written(sentence: Signed, text: str, where: Span) -> str:
    """A stretch of it as it was written; "" for none."""
    if where[0] == where[1]:
        return ""
    start, end = sentence.source(*where)
    return text[start:end].strip()
