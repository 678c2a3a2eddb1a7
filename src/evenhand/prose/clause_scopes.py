"""Over what a clause speaks where it takes scope or subject from a clause beside it."""

from __future__ import annotations

from dataclasses import replace

from evenhand.prose.clauses import Clause
from evenhand.prose.reading import Reading
from evenhand.prose.scopes import Scope, scope_of
from evenhand.prose.signs import Named


def clause_scope(reading: Reading, clause: Clause, *, before: Scope) -> Scope:
    """What a clause speaks over: its own scope, in what of it is unsaid that of the clause before."""
    own = scope_of(reading.sentence, clause.span, reading.ground, reading.rules)
    if own.without and not own.group:
        groups = reading.sentence.keys(Named.GROUP)
        return replace(own, group=before.group or (groups[0] if len(groups) == 1 else ""))
    return own if own.said else replace(before, metric=own.metric or before.metric)


def listed_scope(reading: Reading, then: Clause) -> Scope | None:
    """The tests that are listed behind a colon, of what goes before it; None where none are."""
    text = reading.text(then.span).strip()
    if not (reading.rules["clauses.list"].fullmatch(text) or reading.rules["clauses.told_of"].match(text)):
        return None
    return scope_of(reading.sentence, then.span, reading.ground, reading.rules)


def in_context(reading: Reading, scope: Scope, clause: Clause) -> Scope:
    """A clause's scope, with what was said before its sentence where it says none."""
    return reading.context.scope(scope, reading.text(clause.span), reading.rules)


def fronted(reading: Reading, clause: Clause, then: Clause | None) -> str:
    """Whom a clause is about that begins with what was done to them and ends before their name; else ""."""
    if then is None or not reading.rules["clauses.fronted"].search(reading.text(clause.span)):
        return ""
    return next(iter(reading.sentence.keys(Named.SETUP, then.span)), "")
