"""Whom a clause is about, and whom it holds against them: read from where names and pronouns stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.prose.clauses import Clause
from evenhand.prose.mentions import Mention
from evenhand.prose.reading import Reading
from evenhand.prose.roles import Roles, spoken_object, spoken_subject
from evenhand.prose.signs import Named


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """Whom a clause is about, and whom it holds against them; `spoken`: the first by a pronoun only."""

    subjects: tuple[str, ...] = ()
    others: tuple[str, ...] = ()
    spoken: bool = False

    @property
    def roles(self) -> Roles:
        """The same as the clause after this one takes them over."""
        return Roles(subjects=self.subjects, objects=self.others)


def sides_of(reading: Reading, clause: Clause, before: Roles, *, until: int = 0) -> Sides | None:
    """Whom a clause is about: who depends on no small word, else a pronoun, else from whom something is had.

    `before` is whom the clause before was about, and against whom; `until` is where something is said.
    """
    until = until or clause.quiet_from
    rows = list(_rows(reading, clause))
    free = [row for row in rows if not _stands_behind(reading, clause, row[0], "roles.governed")]
    named = tuple(dict.fromkeys(m.key for row in rows for m in row))
    who = _rest(reading, (clause.start, until)) or _spoken(
        reading, (clause.start, until), free, named, before
    )
    if who:
        tail = reading.text((until, clause.quiet_from))
        others = named or spoken_object(reading, tail, who, before.objects) or before.objects
        return Sides(subjects=who, others=tuple(key for key in others if key not in who), spoken=True)
    if free:
        subjects = _keys(free[0])
        others = tuple(key for key in named if key not in subjects)
        return Sides(subjects=subjects, others=others or _spoken_others(reading, clause, free[0], before))
    had = [row for row in rows if _stands_behind(reading, clause, row[0], "roles.had_from")]
    if had:
        subjects = _keys(had[0])
        return Sides(subjects=subjects, others=tuple(key for key in named if key not in subjects))
    if rows and not before.subjects and not _stands_behind(reading, clause, rows[0][0], "roles.object_of"):
        subjects = _keys(rows[0])
        return Sides(subjects=subjects, others=tuple(key for key in named if key not in subjects))
    subjects = tuple(key for key in before.subjects if key not in named)
    return Sides(subjects=subjects, others=named or before.objects) if subjects else None


def _rest(reading: Reading, span: tuple[int, int]) -> tuple[str, ...]:
    """Who "the others" are that something is said of: all but who was named before."""
    found = reading.rules["roles.rest"].search(reading.sentence.text, *span)
    if found is None or reading.rules["roles.governed"].search(reading.text((span[0], found.start()))):
        return ()
    named = reading.sentence.keys(Named.SETUP, (0, found.start())) or reading.context.recent[:1]
    return tuple(setup for setup in reading.ground.setups if setup not in named) if named else ()


def _spoken(
    reading: Reading,
    span: tuple[int, int],
    free: list[tuple[Mention, ...]],
    named: tuple[str, ...],
    before: Roles,
) -> tuple[str, ...]:
    """Who a pronoun is that stands before any name, or where no name stands free."""
    name = free[0][0].at if free else span[1]
    if free and not reading.rules["roles.pronoun_first"].search(reading.text((span[0], name))):
        return ()
    text = reading.text((span[0], min(name, span[1])))
    text = reading.rules["roles.of_two"].sub(" ", text)
    who = spoken_subject(reading, text, objects=named, just_named=before.subjects)
    if len(who) < 2 and named and reading.rules["roles.both"].search(text):
        return tuple(setup for setup in reading.ground.setups if setup not in named)  # "both of them beat it"
    return who


def is_of_other(reading: Reading, clause: Clause, sides: Sides, at: int) -> bool:
    """Whether a word is said of the other: where that one is left, seen or kept in some state."""
    named = [m for m in reading.sentence.of(Named.SETUP, clause.span) if m.at < at]
    if not named or named[-1].key not in sides.others:
        return False
    return bool(reading.rules["polar.leaves"].search(reading.text((clause.start, named[-1].at))))


def _spoken_others(
    reading: Reading, clause: Clause, row: tuple[Mention, ...], before: Roles
) -> tuple[str, ...]:
    tail = reading.text((row[-1].at + 1, clause.quiet_from))
    return spoken_object(reading, tail, _keys(row), before.objects)


def _rows(reading: Reading, clause: Clause) -> Iterator[tuple[Mention, ...]]:
    """The setups of a clause, those that are named in a row together; those between whom it is left out."""
    sentence, rules = reading.sentence, reading.rules
    domains = [f.span() for f in rules["roles.domain"].finditer(sentence.text, *clause.span)]
    every = sentence.of(Named.SETUP, (clause.start, clause.quiet_from))
    told = [m for m in every if not any(start <= m.at < end for start, end in domains)] or every
    row: list[Mention] = []
    for mention in told:
        if row and not rules["roles.chain"].fullmatch(reading.text((row[-1].at + 1, mention.at))):
            yield tuple(row)
            row = []
        row.append(mention)
    if row:
        yield tuple(row)


def _keys(row: tuple[Mention, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(m.key for m in row))


def _stands_behind(reading: Reading, clause: Clause, mention: Mention, by: str) -> bool:
    return bool(reading.rules[by].search(reading.text((clause.start, mention.at))))
