"""Claims of parts: two parts held against each other, and a lead told in one breath with a part."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from evenhand.findings.finding import Outcome
from evenhand.prose.clauses import clauses
from evenhand.prose.reading import SIDED, Claim, Met, Reading
from evenhand.prose.roles import Roles
from evenhand.prose.signs import Named


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


def by_part(found: list[Claim], reading: Reading) -> Iterator[Claim]:
    """A part named in one breath with who is ahead is read as the cause, where no cause is said already."""
    sentence, rules = reading.sentence, reading.rules
    if any(claim.rule.says == "cause" for claim in found) or _is_refused(reading):
        return
    parts = {reading.ground.kinds_of(key) for key in sentence.keys(Named.PART)} | set(
        sentence.keys(Named.KIND)
    )
    sided = next((c for c in found if c.rule.says in SIDED and c.rule.of == "speed" and not c.denied), None)
    if sided is None or len(parts) != 1 or not rules["nets.by_part"].search(sentence.text):
        return
    cause = next(rule for rule in rules.claims if rule.says == "cause")
    yield replace(sided, rule=cause, parts=tuple(parts), sided=True)


def _is_refused(reading: Reading) -> bool:
    """Whether somebody says in the same breath that something is not known, or is so in spite of a part."""
    if reading.rules["exempt.despite"].search(reading.sentence.text):
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
