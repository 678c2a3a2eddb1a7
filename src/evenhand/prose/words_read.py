"""The claims of a sentence that no rule met."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import zip_longest

from evenhand.prose.clause_scopes import clause_scope, fronted, in_context
from evenhand.prose.clauses import Clause, clauses
from evenhand.prose.reading import Claim, Reading
from evenhand.prose.roles import NO_ROLES
from evenhand.prose.scopes import WIDEST
from evenhand.prose.sided import Sides, sides_of
from evenhand.prose.signs import Named
from evenhand.prose.word_claims import ranked, word_claims


def by_words(reading: Reading) -> Iterator[Claim]:
    """The claims of a sentence that no rule met: by its ranks, else clause by clause by its words."""
    whole = Clause(start=0, end=len(reading.sentence.text), quiet_from=len(reading.sentence.text))
    ranks = list(ranked(reading, whole))
    scope = clause_scope(reading, whole, before=WIDEST) if ranks else WIDEST
    yield from (replace(claim, scope=in_context(reading, scope, whole)) for claim in ranks)
    every = () if ranks else clauses(reading.sentence, reading.rules)
    before = NO_ROLES
    for clause, then in zip_longest(every, every[1:]):
        scope = clause_scope(reading, clause, before=scope)
        named = reading.sentence.keys(Named.SETUP, clause.span)
        if subject := fronted(reading, clause, then):
            others = tuple(key for key in named if key != subject)
            sides: Sides | None = Sides(subjects=(subject,), others=others)
        else:
            sides = sides_of(reading, clause, before)
        before = before if sides is None else sides.roles
        for claim in word_claims(reading, clause, sides):
            yield replace(claim, scope=in_context(reading, scope, clause))
