"""What a clause says where no rule has its words: by ranks, by praise and blame, by the margin."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise

from evenhand.prose.clauses import Clause
from evenhand.prose.reading import SIDED, Claim, Reading
from evenhand.prose.rules import ClaimRule
from evenhand.prose.scopes import WIDEST
from evenhand.prose.sided import Sides, is_of_other
from evenhand.prose.signs import Named

GAPPED = 7  # words of a clause that has its verb from the one before
DENIED_WITHIN = 4  # words between a negation and the word that it turns round
CONSUMED = ("power", "noise", "heat")  # of what more is worse
TOPICS = {"value": "topics.value", "noise": "topics.noise", "power": "topics.watts", "heat": "topics.heat"}


def word_claims(reading: Reading, clause: Clause, about: Sides | None = None) -> Iterator[Claim]:
    """The claim of a clause that no rule met, by the margin that it names, else by its words.

    `about` is whom it is about.
    """
    text = reading.text((clause.start, clause.quiet_from))
    if text.strip() and not reading.rules["unread.guarded"].search(text):
        found = _bounded(reading, clause) or _placed(reading, clause) or _leaning(reading, clause, about)
        yield from () if found is None else (found,)


def claim_by_words(
    clause: Clause, reading: Reading, *, says: str, better: tuple[str, ...], worse: tuple[str, ...] = ()
) -> Claim:
    """A claim of a whole clause, read by no rule."""
    of = "speed" if says == "level" else topic(reading, clause)
    rule = ClaimRule(name="by its words", pattern=re.compile(""), says=says, of=of)
    return Claim(
        rule=rule, span=(clause.start, clause.quiet_from), scope=WIDEST, clause=clause.start, better=better,
        worse=worse, within=says == "level",
    )  # fmt: skip


def topic(reading: Reading, clause: Clause) -> str:
    """Of what a clause speaks, or its sentence where it does not say: speed where nothing else is named."""
    for text in (reading.text(clause.span), reading.sentence.text):
        for of, words in TOPICS.items():
            if reading.rules[words].search(text):
                return of
    return "speed"


def ranked(reading: Reading, clause: Clause) -> Iterator[Claim]:
    """The order that a clause has: "A first, B second", "in the order A, B, C"."""
    rules, text, sentence = reading.rules, reading.text(clause.span), reading.sentence
    order = [m.key for m in sentence.of(Named.SETUP, clause.span)]
    whole = rules["ranks.order"].search(sentence.text) is not None and len(order) > 1
    if not whole:
        ranks: dict[str, int] = {}
        for found in rules["ranks.place"].finditer(text):
            at = clause.start + found.start("s")
            key = next((m.key for m in sentence.of(Named.SETUP, (at, at + 1))), "")
            rank = next((i for i, name in enumerate(("first", "second", "third")) if found[name]), -1)
            if key and rank >= 0:
                ranks[key] = rank
        order = sorted(ranks, key=ranks.__getitem__)
        if len(order) < 2 and not (order and ranks[order[0]] == len(reading.ground.setups) - 1):
            return
        if len(order) == 1:
            yield claim_by_words(clause, reading, says="last", better=(), worse=(order[0],))
            return
    if rules["ranks.upwards"].search(sentence.text):
        order.reverse()
    for better, worse in pairwise(order):
        yield claim_by_words(clause, reading, says="ahead", better=(better,), worse=(worse,))


def gapped(reading: Reading, clause: Clause, earlier: Claim) -> Iterator[Claim]:
    """The claim of the clause before, of somebody else in another test: "A takes this test, B that one"."""
    sentence, words = reading.sentence, reading.text(clause.span).split()
    named = sentence.keys(Named.SETUP, clause.span)
    if not named or not sentence.of(Named.TEST, clause.span) or len(words) > GAPPED:
        return
    if earlier.rule.says in SIDED and earlier.rule.of == "speed":
        others = tuple(s for s in (*earlier.better, *earlier.worse) if s not in named)
        yield claim_by_words(clause, reading, says="ahead", better=named, worse=others)


def _placed(reading: Reading, clause: Clause) -> Claim | None:
    """Somebody and a test and no more, behind words of praise: "their good days: A in this, B in that"."""
    whole, rules = reading.sentence.text, reading.rules
    if not rules["clauses.gapped"].fullmatch(reading.text(clause.span).strip()):
        return None
    if not rules["polar.up"].search(whole, 0, clause.start) or rules["polar.down"].search(
        whole, 0, clause.start
    ):
        return None
    here = reading.sentence.keys(Named.SETUP, clause.span)
    others = tuple(s for s in reading.sentence.keys(Named.SETUP) if s not in here)
    return claim_by_words(clause, reading, says="ahead", better=here, worse=others)


def _leaning(reading: Reading, clause: Clause, sides: Sides | None) -> Claim | None:
    """Who comes off better by the words of praise and blame that are said of each; None where none are."""
    score = 0 if sides is None else _score(reading, clause, sides)
    if sides is None or score == 0:
        return None
    if score > 0:
        return claim_by_words(clause, reading, says="ahead", better=sides.subjects, worse=sides.others)
    return claim_by_words(clause, reading, says="behind", better=sides.others, worse=sides.subjects)


def _score(reading: Reading, clause: Clause, sides: Sides) -> int:
    """Praise of the subject less that of the other, a negation before a word turned round."""
    rules, score = reading.rules, 0
    consumed = topic(reading, clause) in CONSUMED
    for sign, name in ((1, "polar.up"), (-1, "polar.down"), (-1 if consumed else 1, "polar.more"),
                       (1 if consumed else -1, "polar.less")):  # fmt: skip
        for found in rules[name].finditer(reading.sentence.text, clause.start, clause.quiet_from):
            own = -sign if _is_turned(reading, clause, found.start()) else sign
            score += -own if is_of_other(reading, clause, sides, found.start()) else own
    earlier = rules["polar.earlier"].search(reading.text(clause.span)) is not None
    return score or (-1 if consumed else 1) * earlier


def _is_turned(reading: Reading, clause: Clause, at: int) -> bool:
    """Whether a negation stands right before a word, or at the head of its clause."""
    if reading.rules["polar.inverted"].search(reading.text(clause.span)):
        return True
    before = reading.text((clause.start, at)).rsplit(",", 1)[-1].split()[-DENIED_WITHIN:]
    return bool(reading.rules["polar.turned"].search(" ".join(before)))


def _bounded(reading: Reading, clause: Clause) -> Claim | None:
    """Two that a clause puts within the margin of each other."""
    named = reading.sentence.keys(Named.SETUP, clause.span)
    if not named and reading.rules["roles.both"].search(reading.text(clause.span)):
        named = reading.context.pair
    bounded = reading.rules["polar.bounded"].search(reading.text(clause.span))
    return claim_by_words(clause, reading, says="level", better=named) if len(named) > 1 and bounded else None
