"""The first reader of comparisons of speed: who, against whom and which way, from the words of a clause."""

from __future__ import annotations

import re
from dataclasses import replace

from evenhand.prose.clauses import Clause, is_denied, not_said
from evenhand.prose.reading import Met, Reading
from evenhand.prose.roles import Roles
from evenhand.prose.rules import ClaimRule
from evenhand.prose.sided import Sides, is_of_other, sides_of
from evenhand.prose.signs import Named
from evenhand.prose.word_heads import Head, firm_heads

AHEAD = ClaimRule(name="by its words", pattern=re.compile(""), says="ahead", needs="setup")
BEHIND = replace(AHEAD, says="behind")


def worded(
    reading: Reading,
    clause: Clause,
    before: Roles,
    taken: list[tuple[int, int]],
    *,
    about: Sides | None = None,
) -> tuple[Met, Roles] | None:
    """What a clause says of who is ahead; None where it says nothing.

    `taken` are words that a rule met, to which its own are added; `about` is whom the clause is about, where
    that is known. Two parts that are held against each other are on nobody's side.
    """
    heads = _own(reading, firm_heads(reading, clause), taken)
    taken += [h.found.span() for h in heads]
    sides = (about or _sides(reading, clause, heads, before)) if heads else None
    if sides is None:
        return None
    said = [(h, _sign(reading, clause, h, sides)) for h in heads if not _is_denied(reading, clause, h)]
    if not said:
        return _denied(reading, clause, heads, sides)
    score = sum(sign for _, sign in said) or said[0][1]
    head = next(h for h, sign in said if sign * score > 0)
    rule = AHEAD if score > 0 else BEHIND
    return Met(clause=clause, rule=rule, found=head.found), _roles(reading, clause, head, sides)


def _own(reading: Reading, heads: tuple[Head, ...], taken: list[tuple[int, int]]) -> tuple[Head, ...]:
    """The heads that no rule has taken, and that somebody stands for."""
    away = [*taken, *not_said(reading.sentence, reading.rules)]
    return tuple(
        h for h in heads if all(h.found.end() <= start or h.found.start() >= end for start, end in away)
    )


def _sides(reading: Reading, clause: Clause, heads: tuple[Head, ...], before: Roles) -> Sides | None:
    """Whom a clause is about: by its names, else who a head is said for."""
    if len(reading.sentence.keys(Named.PART, clause.span)) > 1 and not reading.sentence.of(Named.SETUP):
        return Sides()
    sides = sides_of(reading, clause, before, until=heads[0].found.start())
    of = next((h.of for h in heads if h.of), ())
    if of and (
        sides is None
        or sides.spoken
        or set(of) < set(sides.subjects)
        or not reading.sentence.of(Named.SETUP, (clause.start, heads[0].found.start()))
    ):
        named = reading.sentence.keys(Named.SETUP, clause.span)
        return Sides(subjects=of, others=tuple(key for key in named if key not in of))
    return sides


def _sign(reading: Reading, clause: Clause, head: Head, sides: Sides) -> int:
    """Whether a head is for (1) or against (-1) whom the clause is about."""
    if head.of:
        return head.sign if set(head.of) & set(sides.subjects) else -head.sign
    return -head.sign if is_of_other(reading, clause, sides, head.found.start()) else head.sign


def _is_denied(reading: Reading, clause: Clause, head: Head) -> bool:
    if reading.rules["exempt.neither"].search(reading.text((clause.start, head.found.start()))):
        return True
    return is_denied(reading.sentence, head.found, clause=clause, rules=reading.rules)


def _denied(
    reading: Reading, clause: Clause, heads: tuple[Head, ...], sides: Sides
) -> tuple[Met, Roles] | None:
    """A comparison that is denied and nothing else, so that the record may say that it is so."""
    head = heads[0]
    if not reading.rules["exempt.flatly"].search(reading.text((clause.start, head.found.start()))):
        return None
    rule = AHEAD if _sign(reading, clause, head, sides) > 0 else BEHIND
    met = Met(clause=clause, rule=rule, found=head.found, denied=True)
    return met, _roles(reading, clause, head, sides)


def _roles(reading: Reading, clause: Clause, head: Head, sides: Sides) -> Roles:
    tail = reading.text((head.found.end(), clause.end))
    nobody = not sides.others and bool(reading.rules["roles.than_nobody"].search(tail))
    others = tuple(key for key in sides.others if key not in sides.subjects)
    return Roles(subjects=sides.subjects, objects=others, nobody=nobody)
