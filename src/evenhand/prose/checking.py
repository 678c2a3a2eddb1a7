"""The sentence check: every sentence of a script held against the record of its study."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from evenhand.prose.claims_made import claims_of
from evenhand.prose.clauses import claims_nothing
from evenhand.prose.context import TOPIC, Context
from evenhand.prose.dated import Days, amounts, money_pattern, undated_claim
from evenhand.prose.defined import undefined
from evenhand.prose.disclosed import LONGEST, parts_named, parts_praised, undisclosed
from evenhand.prose.figures import bare_figures
from evenhand.prose.ground import Ground
from evenhand.prose.judging import judged
from evenhand.prose.lexicon import Lexicon, lexicon
from evenhand.prose.mentions import signed
from evenhand.prose.misplaced import misplaced_references
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Claim, Reading
from evenhand.prose.references import trouble
from evenhand.prose.rules import Rules
from evenhand.prose.runs_told import miscounted_runs
from evenhand.prose.script import Piece, Script, Sort, place_in
from evenhand.prose.signs import Named
from evenhand.prose.told_of import told_of
from evenhand.prose.unread_told import unread
from evenhand.publish.numbers import number

SMALL, BRIEF = 2, 5  # words of an answer that is no sentence of its own: with a setup, with a part


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
    pieces = [p for p in answered(script, names, rules) if len(p.text) <= LONGEST]
    read = [(p, signed(p.text, names, rules, at=p.place.start)) for p in pieces]
    every, said = [sentence for _, sentence in read], _Said()
    found = [*_broken(script, ground), *_too_long(script, rules)]
    for piece, sentence in read:
        reading = Reading(
            script=script.text, sentence=sentence, context=said.context, ground=ground, rules=rules
        )
        made = claims_of(reading, money)
        claims = made.claims
        told = list(_in_sentence(reading, piece, said, money, claims=claims))
        found += _each_once(told or list(unread(reading, made, piece, money)))
        named = [*parts_named(reading), *parts_praised(reading, claims)]
        found += [*undisclosed(reading, named, every, told=said.disclosures), *told_of(reading)]
        _went_on(said, piece, reading)
    return tuple(sorted(found, key=lambda o: (o.place.start, o.place.end)))


def _in_sentence(
    reading: Reading, piece: Piece, said: _Said, money: re.Pattern[str], *, claims: tuple[Claim, ...]
) -> Iterator[Objection]:
    """What is objected to in one sentence, disclosures aside."""
    days = said.days.dates(reading.sentence.text, piece.paragraph, reading.rules)
    yield from _claims(reading, claims, dated=days)
    yield from _figures(reading)
    yield from amounts(reading, money, dated=days)
    yield from undefined(reading, said.metrics)


def answered(script: Script, names: Lexicon, rules: Rules) -> Iterator[Piece]:
    """Headings and sentences; a name by itself after a question ("The best? Plover.") goes with it."""
    asked: Piece | None = None
    for piece in script.said:
        joined = asked is not None and asked.paragraph == piece.paragraph and (
            _is_name(piece, names, rules) or _is_short_answer(piece.text, asked.text, rules)
        )  # fmt: skip
        if asked is not None and joined:
            start, end = asked.place.start, piece.place.end
            asked = replace(piece, text=script.text[start:end], place=place_in(script.text, start, end))
        if asked is not None:
            yield asked
        if joined:
            asked = None
        elif rules["clauses.question"].search(piece.text) or _is_topic(piece, names, rules):
            asked = piece
        else:
            asked = None
            yield piece
    if asked is not None:
        yield asked


def _is_short_answer(text: str, asked: str, rules: Rules) -> bool:
    """Whether a sentence says no more than yes to a question, or no more than how what was named compares."""
    whole = rules["clauses.asks_whether"].search(asked)
    return bool(rules["clauses.yes" if whole else "clauses.comparing"].search(text))


def _is_topic(piece: Piece, names: Lexicon, rules: Rules) -> bool:
    """Whether a sentence does no more than name a test, so that a name behind it says who is ahead there."""
    if piece.sort is Sort.HEADING or len(piece.text.split()) > TOPIC:
        return False
    sentence = signed(piece.text, names, rules)
    return bool(sentence.of(Named.TEST)) and not sentence.of(Named.SETUP)


def _is_name(piece: Piece, names: Lexicon, rules: Rules) -> bool:
    """Whether a sentence is a setup's or a part's name with few words beside it."""
    if len(piece.text) > LONGEST:
        return False
    sentence = signed(piece.text, names, rules)
    if rules["clauses.named"].search(sentence.text):
        return True
    words, parts = len(sentence.text.split()), sentence.of(Named.PART) or sentence.of(Named.KIND)
    if sentence.of(Named.SETUP):
        return words <= SMALL
    return bool(parts) and words <= BRIEF


def _went_on(said: _Said, piece: Piece, reading: Reading) -> None:
    said.days = said.days.after(reading.sentence.text, piece.paragraph, reading.rules)
    said.context = said.context.after(piece, reading.sentence, reading.ground, reading.rules)


def _too_long(script: Script, rules: Rules) -> Iterator[Objection]:
    """Sentences that are not read at all, so that nobody takes them for sound."""
    for piece in script.said:
        if len(piece.text) > LONGEST:
            reason = rules.words("unread", n=number(len(piece.text)), most=number(LONGEST))
            yield Objection(
                rule=Rule.UNREAD, place=piece.place, excerpt=piece.text, reason=reason,
                would_stand=rules.said["undivided"],
            )  # fmt: skip


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


def _claims(reading: Reading, claims: tuple[Claim, ...], *, dated: bool) -> Iterator[Objection]:
    """Claims that do not stand; one that stands and rests on prices is asked for their day."""
    for claim in claims:
        refused = list(judged(claim, reading))
        yield from refused or undated_claim(claim, reading, dated=dated)


def _figures(reading: Reading) -> Iterator[Objection]:
    yield from misplaced_references(reading)
    yield from miscounted_runs(reading)
    if not claims_nothing(reading.sentence, reading.rules):
        yield from bare_figures(reading)


def _each_once(found: list[Objection]) -> Iterator[Objection]:
    """Of those in one sentence that say the same only the first."""
    seen = set()
    for each in sorted(found, key=lambda o: (o.place.start, o.place.end)):
        own = "" if each.taken_for else each.excerpt
        mark = (each.rule, each.reason, each.taken_for, own)
        if mark not in seen:
            seen.add(mark)
            yield each
