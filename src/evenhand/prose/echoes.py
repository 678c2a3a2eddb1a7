"""What is said again of another test, or turned round: "the same holds there", "the other way round"."""

from __future__ import annotations

from collections.abc import Iterator

from evenhand.prose.clauses import Clause
from evenhand.prose.context import Told
from evenhand.prose.reading import SIDED, Claim, Reading
from evenhand.prose.signs import Named
from evenhand.prose.word_claims import claim_by_words, topic


def echoed(claims: tuple[Claim, ...]) -> Told | None:
    """What the last comparison of speed among some claims says, for a sentence that goes back to it."""
    own = [c for c in claims if c.rule.of == "speed" and c.rule.says in {*SIDED, "level"} and not c.denied]
    return (
        Told(level=own[-1].rule.says == "level", better=own[-1].better, worse=own[-1].worse) if own else None
    )


def echoes(reading: Reading, clause: Clause, last: Claim | None) -> Iterator[Claim]:
    """The claim of the clause or sentence before, where a clause says it again or turns it round.

    One that names a setup says by itself who is meant, and one without a test or group of its own is
    about what was just told.
    """
    told = reading.context.told if last is None else echoed((last,))
    text, sentence = reading.text((clause.start, clause.quiet_from)), reading.sentence
    placed = sentence.of(Named.TEST, clause.span) or sentence.of(Named.GROUP, clause.span)
    if (
        told is None
        or not placed
        or sentence.of(Named.SETUP, clause.span)
        or topic(reading, clause) != "speed"
    ):
        return
    if told.level:
        if reading.rules["polar.likewise"].search(text):
            yield claim_by_words(clause, reading, says="level", better=told.better)
    elif reading.rules["polar.reversed"].search(text):
        yield claim_by_words(clause, reading, says="ahead", better=told.worse, worse=told.better)
    elif reading.rules["polar.likewise"].search(text):
        yield claim_by_words(clause, reading, says="ahead", better=told.better, worse=told.worse)
