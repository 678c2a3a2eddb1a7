"""Which sentences say something of setups that has to be read, be it in words that no rule knows."""

from __future__ import annotations

import re

from evenhand.prose.clauses import claims_nothing, clauses
from evenhand.prose.reading import Reading
from evenhand.prose.signs import Named

SHORT = 3  # words that say nothing by themselves


def compares(reading: Reading) -> bool:
    """Whether it names a setup beside another one, a test, readers or a word of more and less."""
    sentence, rules = reading.sentence, reading.rules
    setups = sentence.keys(Named.SETUP)
    if not setups:
        both = reading.context.pair and rules["roles.both"].search(sentence.text)
        return bool((both or sentence.of(Named.PART)) and sentence.of(Named.TEST))
    beside = any(map(sentence.of, (Named.TEST, Named.GROUP, Named.AUDIENCE)))
    return len(setups) > 1 or beside or bool(rules["unread.compares"].search(sentence.text))


def is_no_result(reading: Reading, money: re.Pattern[str]) -> bool:
    """Whether it refuses, asks, or speaks of what is no result: of method, parts, prices or pictures."""
    sentence, rules = reading.sentence, reading.rules
    text = sentence.text
    if len(text.split()) <= SHORT or sentence.references or money.search(text):
        return True
    if claims_nothing(sentence, rules) or rules["clauses.question"].search(text.strip()):
        return True
    if any(clause.quiet_from < clause.end for clause in clauses(sentence, rules)):
        return True
    parts = sentence.of(Named.PART) or sentence.of(Named.KIND)
    return bool(parts and not sentence.of(Named.TEST)) or bool(rules["unread.known"].search(text))
