"""Claims of parts: two parts held against each other, and a lead told in one breath with a part."""

from __future__ import annotations

import re
from dataclasses import replace

from evenhand.findings.finding import Outcome
from evenhand.prose.clauses import clauses
from evenhand.prose.reading import SIDED, Claim, Met, Reading
from evenhand.prose.roles import Roles
from evenhand.prose.scopes import scope_of
from evenhand.prose.signs import Named
from evenhand.prose.unread import is_no_result

NO_PARTS = frozenset({"driver", "tune"})
"""What is no part and may be said to be a cause all the same."""


def part_sides(reading: Reading, met: Met, *, roles: Roles) -> tuple[Met, Roles]:
    """A comparison of two parts by name, as one that puts the setup of the one ahead of the other's."""
    parts = reading.sentence.keys(Named.PART, met.clause.span)
    if len(parts) < 2:
        return met, roles
    first, other = (_holders(part, reading) for part in parts[:2])
    rule = replace(met.rule, says="cause", needs="part")
    return replace(met, rule=rule), Roles(subjects=first, objects=other)


def _holders(part: str, reading: Reading) -> tuple[str, ...]:
    ground = reading.ground
    return tuple(setup for setup in ground.setups if part in ground.inside.get(setup, ()))


def by_part(found: list[Claim], reading: Reading, money: re.Pattern[str]) -> list[Claim]:
    """The claims of a sentence, with a part that is named in one breath with a result as its cause.

    Nothing is added where a cause is said already, refused, or where the part is no more than described.
    Where a part is told to have gone from one setup to another, nobody is said to be ahead by it.
    """
    if any(claim.rule.says == "cause" for claim in found) or _is_refused(reading):
        return found
    parts, sided = _kinds_named(reading), [c for c in found if c.rule.says in SIDED and c.rule.of == "speed"]
    cause = next(rule for rule in reading.rules.claims if rule.says == "cause")
    if len(parts) != 1 or any(c.denied for c in sided):
        return found
    if sided and reading.rules["nets.moved"].search(reading.sentence.text):
        own = replace(sided[0], rule=cause, parts=parts, better=(), worse=())
        return [*(c for c in found if c not in sided), own]
    if sided and _is_named_for_it(parts, reading):
        return [*found, replace(sided[0], rule=cause, parts=parts, sided=True)]
    if not found and _is_of_somebody(reading) and not is_no_result(reading, money):
        whole = (0, len(reading.sentence.text))
        scope = scope_of(reading.sentence, whole, reading.ground, reading.rules)
        return [Claim(rule=cause, span=whole, scope=scope, parts=parts)]
    return found


def _is_of_somebody(reading: Reading) -> bool:
    """Whether a sentence tells of a setup or a part by name in a test, and not what a part was read at."""
    sentence = reading.sentence
    whose = sentence.of(Named.SETUP) or sentence.of(Named.PART)
    return bool(whose and sentence.of(Named.TEST)) and not reading.rules["nets.described"].search(
        sentence.text
    )


def _kinds_named(reading: Reading) -> tuple[str, ...]:
    """The kinds of part that a sentence names, by kind or by name."""
    sentence, ground = reading.sentence, reading.ground
    named = (*map(ground.kinds_of, sentence.keys(Named.PART)), *sentence.keys(Named.KIND))
    return tuple(dict.fromkeys(named))


def _is_named_for_it(parts: tuple[str, ...], reading: Reading) -> bool:
    """Whether a part beside a lead is more than described: joined to it, or with no other word for it."""
    text, rules = reading.sentence.text, reading.rules
    if parts == ("case",):
        return False
    joined = rules["nets.by_part"].search(text) is not None
    return joined or not (NO_PARTS & set(parts) or rules["nets.described"].search(text))


def _is_refused(reading: Reading) -> bool:
    """Whether somebody says in the same breath that something is not known, or is so in spite of a part."""
    if any(reading.rules[by].search(reading.sentence.text) for by in ("exempt.despite", "exempt.which_part")):
        return True
    return any(clause.quiet_from < clause.end for clause in clauses(reading.sentence, reading.rules))


def is_level_effect(claim: Claim, reading: Reading) -> bool:
    """Whether parts are said to make no difference that matters, and the record has them so for some pair."""
    ground, tests = reading.ground, claim.scope.tests
    if not (claim.parts and tests and (claim.within or claim.rule.says == "level")):
        return False
    level = {
        (a, b): {
            cause.test for cause in backing.causes or ()
            if set(cause.factors) == set(claim.parts) and cause.effect is not None
            and cause.effect.outcome is Outcome.LEVEL
        }
        for (_, a, b), backing in ground.backings.items()
    }  # fmt: skip
    return any(set(tests) <= known for known in level.values())
