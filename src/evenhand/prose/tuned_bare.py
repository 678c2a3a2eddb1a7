"""Words on tuned parts that no hours bear out, and voltages that are passed on to other parts."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from evenhand.prose.clauses import Clause, clauses, is_denied, not_said
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Claim, Reading
from evenhand.prose.spoken import place_of
from evenhand.prose.tuned_said import Span
from evenhand.publish.tuning.claims import may_words
from evenhand.publish.tuning.gain import CARE
from evenhand.publish.tuning.readers import FOR_READERS
from evenhand.publish.tuning.words import point_words
from evenhand.tuning.held import Held


def bare_words(reading: Reading, claims: tuple[Claim, ...], *, about: bool) -> Iterator[re.Match[str]]:
    """Words that no hours bear out, said of a part that is tuned or of a machine that has one."""
    sentence, rules = reading.sentence, reading.rules
    if rules["tuning.bare_of_others"].search(sentence.text) or rules["tuning.no_word"].search(sentence.text):
        return
    lasting = [claim.span for claim in claims if claim.rule.says == "lasting"]
    for clause in clauses(sentence, rules):
        for found in rules["tuning.bare"].finditer(sentence.text, clause.start, clause.quiet_from):
            start, end = found.span()
            told = about or any(s < end and start < e for s, e in lasting)
            if told and not _is_quiet(found, clause, reading):
                yield found


BEYOND = {"copied": FOR_READERS[0], "past": FOR_READERS[2], "harmless": CARE}
"""What is said beyond the part that was tried and its hours, and what has to be known in its place."""


def beyond(reading: Reading, *, about: bool) -> Iterator[tuple[Span, Objection]]:
    """What readers are told to set on a part of theirs, and that it does no harm; and where that stands."""
    text, rules = reading.sentence.text, reading.rules
    about = about or rules["tuning.settings"].search(text) is not None
    for clause in clauses(reading.sentence, rules) if about else ():
        for name, known in BEYOND.items():
            for found in rules[f"tuning.{name}"].finditer(text, clause.start, clause.quiet_from):
                if not _is_quiet(found, clause, reading):
                    place, excerpt = place_of(found.span(), reading)
                    yield found.span(), Objection(
                        rule=Rule.CLAIM, place=place, excerpt=excerpt,
                        reason=rules.said[f"tuned_{name}"], would_stand=known,
                    )  # fmt: skip


def denied_harmless(reading: Reading, *, about: bool) -> Iterator[Span]:
    """Where it is denied that tuning does no harm: "not without risk"."""
    for clause in clauses(reading.sentence, reading.rules) if about else ():
        for found in reading.rules["tuning.harmless"].finditer(reading.sentence.text, *clause.span):
            if clause.quiet_from <= found.start() or _is_quiet(found, clause, reading):
                yield found.span()


def _is_quiet(found: re.Match[str], clause: Clause, reading: Reading) -> bool:
    """Whether words are denied, supposed, or somebody else's."""
    sentence, rules = reading.sentence, reading.rules
    away = any(start <= found.start() < end for start, end in not_said(sentence, rules))
    return away or is_denied(sentence, found, clause=clause, rules=rules)


def refused(span: Span, own: tuple[Held, ...], reading: Reading) -> Objection:
    """That no hours bear a word out, with what may be said in its place."""
    place, excerpt = place_of(span, reading)
    return Objection(
        rule=Rule.CLAIM, place=place, excerpt=excerpt,
        reason=reading.rules.words("tuned_bare", word=excerpt), would_stand=called(own),
    )  # fmt: skip


def called(own: Sequence[Held]) -> str:
    """What may be said of a part: its claim, with its point; "" where no hours bear any."""
    held = next((each for each in own if each.told), None)
    if held is None:
        return ""
    at = point_words(held.clock_mhz, held.voltage_mv, offset=held.offset)
    return f"{at}: {may_words(held.claim, held.load)[0]}"
