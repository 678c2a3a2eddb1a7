"""Counts of tests in which one is ahead, as a sentence has them, held against the record."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from evenhand.findings.finding import Outcome
from evenhand.prose.asked import SAYS, Question
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import SIDED, Claim, Reading
from evenhand.prose.signs import Named
from evenhand.prose.spelling import value_of
from evenhand.prose.spoken import place_of, taken_for
from evenhand.publish.numbers import counted
from evenhand.verdicts.claims import Kind


def count_in(claim: Claim, reading: Reading) -> re.Match[str] | None:
    """Where a claim counts tests ("in seven of the nine tests"); None where it does not."""
    if claim.rule.says not in {*SIDED, "level"} or claim.rule.of != "speed":
        return None
    text, rules = reading.sentence.text, reading.rules
    if claim.rule.says == "level":
        return next(rules["scope.counted_level"].finditer(text, claim.span[0]), None)
    own = rules["scope.counted_in"].match(text, *claim.span)
    if own is not None:
        return own
    before = rules["scope.counted_before"].search(text[claim.clause : claim.span[0]])
    if before is not None and rules["scope.tests"].search(text):
        return rules["scope.counted_before"].search(text, claim.clause, claim.span[0])
    return _nearest(claim, list(rules["scope.counted"].finditer(text)))


def _nearest(claim: Claim, found: list[re.Match[str]]) -> re.Match[str] | None:
    """Of several counts the first behind the claim, else the last before it."""
    behind = [each for each in found if each.start() >= claim.span[0]]
    return next(iter(behind), found[-1] if found else None)


def miscounted(claim: Claim, found: re.Match[str], reading: Reading) -> Iterator[Objection]:
    """A count of tests that is not the record's."""
    groups = reading.sentence.keys(Named.GROUP, found.span()) or reading.sentence.keys(Named.GROUP)[:1]
    rules = reading.rules
    said = value_of(next(filter(None, found.groupdict().values()), ""), rules)
    if said is None:
        return
    if not groups and rules["scope.played"].search(found[0]):
        groups = reading.ground.groups
    of = [_counts(claim, found, group, said, reading) for group in groups or ("",)]
    wrong = next((n for counts, told in of for n in counts if n != told), None)
    if wrong is None or any(_are_so(counts, told, claim) for counts, told in of):
        return
    place, excerpt = place_of(found.span(), reading)
    right = counted(wrong, rules.said["test"])
    yield Objection(
        rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt, taken_for=taken_for(claim, reading),
        reason=rules.words("contrary_count", figure=excerpt, n=right), would_stand=right,
    )  # fmt: skip


def _counts(
    claim: Claim, found: re.Match[str], group: str, said: float, reading: Reading
) -> tuple[list[int], float]:
    """In how many tests of a group each pair has its first ahead, and in how many that is said."""
    tests = reading.ground.group_tests(group)
    told = len(tests) - said if found.groupdict().get("but") else said
    pairs = [(a, b) for a in claim.better for b in claim.worse if a != b] or [
        (claim.better[0], claim.better[1])
    ]
    return [_ahead_in(claim, pair, tests, reading) for pair in pairs], told


def _are_so(counts: list[int], told: float, claim: Claim) -> bool:
    """Whether a count is right of every pair; where nobody said against whom, of one."""
    return told in counts if claim.open else all(n == told for n in counts)


def _ahead_in(claim: Claim, pair: tuple[str, str], tests: tuple[str, ...], reading: Reading) -> int:
    """In how many of these tests the first of a pair is called ahead."""
    base = Question(
        kind=Kind.TEST,
        first=pair[0],
        other=pair[1],
        says=SAYS.get(claim.rule.says, Outcome.AHEAD),
        metric=claim.scope.metric,
    )
    found = (replace(base, about=test).asked(reading.ground) for test in tests)
    return sum(each is not None and each.allowed for each in found)
