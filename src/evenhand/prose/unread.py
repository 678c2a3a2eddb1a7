"""What a sentence says of setups in words that no rule knows: told as unread, so that nobody takes it for checked."""

from __future__ import annotations

import re
from collections.abc import Iterator

from evenhand.prose.asked import Question
from evenhand.prose.claims_made import Made
from evenhand.prose.clauses import claims_nothing, clauses
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Reading
from evenhand.prose.scopes import scope_of
from evenhand.prose.script import Piece, Sort
from evenhand.prose.signs import Named
from evenhand.prose.spoken import place_of
from evenhand.verdicts.claims import Kind

SHORT = 3  # words that say nothing by themselves


def unread(reading: Reading, made: Made, piece: Piece, money: re.Pattern[str]) -> Iterator[Objection]:
    """A sentence that compares setups, or tells of one in a test, and of which nothing was read."""
    if piece.sort is Sort.HEADING or made.met or not _compares(reading) or _is_known(reading, money):
        return
    place, excerpt = place_of((0, len(reading.sentence.text)), reading)
    who = reading.rules.said["unread_claim"]
    yield Objection(
        rule=Rule.UNREAD, place=place, excerpt=excerpt, reason=who, would_stand=_on_record(reading)
    )


def _compares(reading: Reading) -> bool:
    """Whether it names a setup beside another one, a test, readers or a word of more and less."""
    sentence, rules = reading.sentence, reading.rules
    setups = sentence.keys(Named.SETUP)
    if not setups:
        return bool((sentence.of(Named.PART) or sentence.of(Named.KIND)) and sentence.of(Named.TEST))
    beside = any(map(sentence.of, (Named.TEST, Named.GROUP, Named.AUDIENCE)))
    return len(setups) > 1 or beside or bool(rules["unread.compares"].search(sentence.text))


def _is_known(reading: Reading, money: re.Pattern[str]) -> bool:
    """Whether it refuses, asks, or speaks of what is no result: of method, parts, prices or pictures."""
    sentence, rules = reading.sentence, reading.rules
    text = sentence.text
    if len(text.split()) <= SHORT or sentence.references or money.search(text) or claims_nothing(sentence, rules):
        return True
    if any(clause.quiet_from < clause.end for clause in clauses(sentence, rules)):
        return True
    parts = sentence.of(Named.PART) or sentence.of(Named.KIND)
    return bool(parts and not sentence.of(Named.TEST)) or bool(rules["unread.known"].search(text))


def _on_record(reading: Reading) -> str:
    """What the record has on the pair, where and of whom the sentence speaks."""
    ground, sentence = reading.ground, reading.sentence
    pair = (*sentence.keys(Named.SETUP), *(s for s in ground.setups if s not in sentence.keys(Named.SETUP)))[:2]
    scope = scope_of(sentence, (0, len(sentence.text)), ground, reading.rules)
    abouts = [(Kind.TEST, test) for test in scope.tests if test] or [(Kind.INDEX, scope.group)]
    told = []
    for kind, about in abouts:
        found = Question(kind=kind, first=pair[0], other=pair[1], says=None, about=about).asked(ground)
        if found is not None and found.would_stand is not None:
            told.append(found.would_stand.told(ground.voice))
    return " ".join(told)
