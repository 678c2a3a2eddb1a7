"""The sentence check: every sentence of a script held against the record of its study."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from evenhand.prose.clauses import claims_nothing
from evenhand.prose.dated import Days, amounts, money_pattern, undated_claim
from evenhand.prose.defined import undefined
from evenhand.prose.disclosed import LONGEST, parts_named, parts_praised, undisclosed
from evenhand.prose.doubted import doubted
from evenhand.prose.figures import bare_figures
from evenhand.prose.ground import Ground
from evenhand.prose.hearing import Heard, hear
from evenhand.prose.judging import judged
from evenhand.prose.misplaced import misplaced_references
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Claim, Reading
from evenhand.prose.references import trouble
from evenhand.prose.rules import Rules
from evenhand.prose.runs_told import miscounted_runs
from evenhand.prose.script import Piece, Script, place_in
from evenhand.prose.so_many import miscounted_tests
from evenhand.prose.told_of import told_of
from evenhand.prose.tuned_told import tuned_told
from evenhand.prose.unread_told import unread
from evenhand.publish.numbers import number


@dataclass(slots=True, kw_only=True)
class _Said:
    """What was said in the script so far."""

    days: Days = field(default_factory=Days)
    metrics: set[str] = field(default_factory=set)
    disclosures: set[str] = field(default_factory=set)
    tuned: frozenset[tuple[str, str]] = frozenset()  # parts, of which the last sentence spoke
    paragraph: int = -1


def check(
    script: Script, ground: Ground, rules: Rules, *, heard: tuple[Heard, ...] | None = None
) -> tuple[Objection, ...]:
    """Everything that the record does not bear, in the order of the script.

    `heard` is the script as it was heard before, on a ground that calls everything alike.
    """
    money = money_pattern(ground, rules)
    heard = hear(script, ground, rules) if heard is None else heard
    every, said = [each.reading.sentence for each in heard], _Said()
    found = [*_broken(script, ground), *_too_long(script, rules)]
    for each in heard:
        reading, piece, claims = each.on(ground), each.piece, each.made.claims
        before = said.tuned if piece.paragraph == said.paragraph else frozenset()
        tuned = tuned_told(reading, claims, before=before)
        said.tuned, said.paragraph = tuned.of, piece.paragraph
        others = _in_sentence(reading, piece, said, money, claims=tuned.left(claims))
        told = [*tuned.objections, *tuned.beside(others, reading)]
        passed = told or tuned.met
        found += _each_once(told if passed else list(unread(reading, each.made, piece, money)))
        named = [*parts_named(reading), *parts_praised(reading, tuned.left(claims))]
        found += [*undisclosed(reading, named, every, told=said.disclosures), *told_of(reading)]
        said.days = said.days.after(reading.sentence.text, piece.paragraph, rules)
    return tuple(sorted(found, key=lambda o: (o.place.start, o.place.end)))


def _in_sentence(
    reading: Reading, piece: Piece, said: _Said, money: re.Pattern[str], *, claims: tuple[Claim, ...]
) -> Iterator[Objection]:
    """What is objected to in one sentence, disclosures aside."""
    days = said.days.dates(reading.sentence.text, piece.paragraph, reading.rules)
    yield from _claims(reading, claims, dated=days)
    yield from doubted(reading, claims)
    yield from miscounted_tests(reading, claims)
    yield from _figures(reading)
    yield from amounts(reading, money, dated=days)
    yield from undefined(reading, said.metrics)


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
