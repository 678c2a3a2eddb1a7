"""What a sentence says of setups in words that nothing reads: told as unread, and not as checked."""

from __future__ import annotations

import re
from collections.abc import Iterator

from evenhand.prose.asked import Question
from evenhand.prose.clauses import Clause
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Made, Reading
from evenhand.prose.roles import NO_ROLES
from evenhand.prose.scopes import Scope, scope_of
from evenhand.prose.script import Piece, Sort
from evenhand.prose.sided import sides_of
from evenhand.prose.signs import Named
from evenhand.prose.spoken import place_of
from evenhand.prose.unread import compares, is_no_result
from evenhand.prose.word_claims import topic
from evenhand.verdicts.claims import Kind


def unread(reading: Reading, made: Made, piece: Piece, money: re.Pattern[str]) -> Iterator[Objection]:
    """A sentence that compares setups, or tells of one in a test, and of which nothing was read."""
    if piece.sort is Sort.HEADING or made.met or not compares(reading) or is_no_result(reading, money):
        return
    if _is_likely(reading):
        return
    place, excerpt = place_of((0, len(reading.sentence.text)), reading)
    reason = reading.rules.said["unread_claim"]
    yield Objection(
        rule=Rule.UNREAD, place=place, excerpt=excerpt, reason=reason, would_stand=_on_record(reading)
    )


def _is_likely(reading: Reading) -> bool:
    """Whether what nothing reads would be borne: praise of who leads in each test, blame of who is last."""
    sentence, rules = reading.sentence, reading.rules
    whole = Clause(start=0, end=len(sentence.text), quiet_from=len(sentence.text))
    scope = scope_of(sentence, whole.span, reading.ground, rules)
    sides = sides_of(reading, whole, NO_ROLES)
    alike = rules["unread.alike"].search(sentence.text)
    if sides is None or not any(scope.tests) or alike or topic(reading, whole) != "speed":
        return False
    others = sides.others or tuple(s for s in reading.ground.setups if s not in sides.subjects)
    praised, blamed = (bool(rules[of].search(sentence.text)) for of in ("polar.up", "polar.down"))
    if not blamed and _lead(sides.subjects, others, scope, reading):
        return True
    return not (praised or sides.others) and _lead(others, sides.subjects, scope, reading)


def _lead(first: tuple[str, ...], other: tuple[str, ...], scope: Scope, reading: Reading) -> bool:
    """Whether all of these are ahead of all of those in each test spoken of."""
    asked = [
        Question(kind=Kind.TEST, first=a, other=b, about=test)
        for a in first for b in other for test in scope.tests
    ]  # fmt: skip
    found = [each.asked(reading.ground) for each in asked]
    return all(each is not None and each.allowed for each in found)


def _on_record(reading: Reading) -> str:
    """What the record has on the pair, where and of whom the sentence speaks."""
    ground, sentence = reading.ground, reading.sentence
    named = sentence.keys(Named.SETUP)
    pair = (*named, *(s for s in ground.setups if s not in named))[:2]
    scope = scope_of(sentence, (0, len(sentence.text)), ground, reading.rules)
    abouts = [(Kind.TEST, test) for test in scope.tests if test] or [(Kind.INDEX, scope.group)]
    asked = [
        Question(kind=kind, first=pair[0], other=pair[1], says=None, about=about) for kind, about in abouts
    ]
    found = [each.asked(ground) for each in asked] if len(pair) > 1 else []
    return " ".join(
        s.would_stand.told(ground.voice) for s in found if s is not None and s.would_stand is not None
    )
