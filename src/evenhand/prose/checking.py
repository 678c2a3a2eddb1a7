"""The sentence check: every sentence of a script held against the record of its study."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from evenhand.prose.claims_made import claims_of
from evenhand.prose.clauses import claims_nothing
from evenhand.prose.context import Context
from evenhand.prose.dated import Days, amounts, money_pattern, undated_claim
from evenhand.prose.defined import undefined
from evenhand.prose.disclosed import undisclosed
from evenhand.prose.figures import bare_figures
from evenhand.prose.ground import Ground
from evenhand.prose.judging import judged
from evenhand.prose.lexicon import Lexicon, lexicon
from evenhand.prose.mentions import signed
from evenhand.prose.misplaced import misplaced_references
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Reading
from evenhand.prose.references import trouble
from evenhand.prose.rules import Rules
from evenhand.prose.script import Piece, Script, place_in
from evenhand.prose.signs import Named

SMALL = 2  # words of an answer that is no sentence of its own


@dataclass(slots=True, kw_only=True)
class _Said:
    """What was said in the script so far."""

    context: Context = field(default_factory=Context)
    days: Days = field(default_factory=Days)
    metrics: set[str] = field(default_factory=set)
    disclosures: set[str] = field(default_factory=set)


def check(script: Script, ground: Ground, rules: Rules) -> tuple[Objection, ...]:
    """Everything that the record does not bear, in the order of the script."""
    names = lexicon(ground, rules)
    money = money_pattern(ground, rules)
    read = [(p, signed(p.text, names, rules, at=p.place.start)) for p in answered(script, names, rules)]
    every, said, found = [sentence for _, sentence in read], _Said(), list(_broken(script, ground))
    for piece, sentence in read:
        reading = Reading(
            script=script.text, sentence=sentence, context=said.context, ground=ground, rules=rules
        )
        days = said.days.dates(sentence.text, piece.paragraph, rules)
        found += _claims(reading, dated=days)
        found += _figures(reading)
        found += amounts(reading, money, dated=days)
        found += undefined(reading, said.metrics)
        found += undisclosed(reading, every, said.disclosures)
        _went_on(said, piece, reading)
    return tuple(_each_once(found))


def answered(script: Script, names: Lexicon, rules: Rules) -> Iterator[Piece]:
    """Headings and sentences; a name by itself after a question ("The best? Plover.") goes with it."""
    asked: Piece | None = None
    for piece in script.said:
        joined = asked is not None and asked.paragraph == piece.paragraph and _is_name(piece, names, rules)
        if asked is not None and joined:
            start, end = asked.place.start, piece.place.end
            asked = replace(piece, text=script.text[start:end], place=place_in(script.text, start, end))
        if asked is not None:
            yield asked
        if joined:
            asked = None
        elif rules["clauses.question"].search(piece.text):
            asked = piece
        else:
            asked = None
            yield piece
    if asked is not None:
        yield asked


def _is_name(piece: Piece, names: Lexicon, rules: Rules) -> bool:
    """Whether a sentence is a setup's name with at most a small word beside it."""
    sentence = signed(piece.text, names, rules)
    return bool(sentence.of(Named.SETUP)) and len(sentence.text.split()) <= SMALL


def _went_on(said: _Said, piece: Piece, reading: Reading) -> None:
    said.days = said.days.after(reading.sentence.text, piece.paragraph, reading.rules)
    said.context = said.context.after(piece, reading.sentence, reading.ground, reading.rules)


def _broken(script: Script, ground: Ground) -> Iterator[Objection]:
    """References that mean nothing, each with the nearest that does."""
    for piece in script.said:
        for reference in piece.references:
            error = trouble(reference, ground.quotables)
            if error is not None:
                place = place_in(script.text, reference.start, reference.end)
                yield Objection(
                    rule=Rule.REFERENCE, place=place, excerpt=script.text[place.start : place.end],
                    reason=error.found, would_stand=error.todo,
                )  # fmt: skip


def _claims(reading: Reading, *, dated: bool) -> Iterator[Objection]:
    """Claims that do not stand; one that stands and rests on prices is asked for their day."""
    for claim in claims_of(reading):
        refused = list(judged(claim, reading))
        yield from refused or undated_claim(claim, reading, dated=dated)


def _figures(reading: Reading) -> Iterator[Objection]:
    yield from misplaced_references(reading)
    if not claims_nothing(reading.sentence, reading.rules):
        yield from bare_figures(reading)


def _each_once(found: list[Objection]) -> Iterator[Objection]:
    """In the order of the script; of those on one line that say the same only the first."""
    seen = set()
    for each in sorted(found, key=lambda o: (o.place.start, o.place.end)):
        own = "" if each.taken_for else each.excerpt
        mark = (each.place.line, each.rule, each.reason, each.taken_for, own)
        if mark not in seen:
            seen.add(mark)
            yield each
