"""Counts of tests in which one is ahead, as a sentence has them, held against the record."""

from __future__ import annotations

import re
from collections.abc import Iterator

from evenhand.findings.finding import Outcome
from evenhand.prose.asked import Question
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import SIDED, Claim, Reading
from evenhand.prose.signs import Named
from evenhand.prose.spelling import value_of
from evenhand.prose.spoken import place_of, taken_for
from evenhand.publish.numbers import counted
from evenhand.verdicts.claims import Kind


def count_in(claim: Claim, reading: Reading) -> re.Match[str] | None:
    """Where a claim counts tests ("in seven of the nine tests"); None where it does not."""
    if claim.rule.says not in SIDED or claim.rule.of != "speed":
        return None
    return reading.rules["scope.counted"].search(reading.sentence.text)


def miscounted(claim: Claim, found: re.Match[str], reading: Reading) -> Iterator[Objection]:
    """A count of tests that is not the record's."""
    ground = reading.ground
    groups = reading.sentence.keys(Named.GROUP, found.span())
    tests = ground.group_tests(groups[0] if groups else "")
    said = value_of(found["n"], reading.rules)
    for a in claim.better:
        for b in claim.worse:
            asked = [
                Question(kind=Kind.TEST, first=a, other=b, says=Outcome.AHEAD, about=test,
                         metric=claim.scope.metric).asked(ground) for test in tests
            ]  # fmt: skip
            n = sum(each is not None and each.allowed for each in asked)
            if said is not None and n != said:
                place, excerpt = place_of(found.span(), reading)
                told = counted(n, reading.rules.said["test"])
                yield Objection(
                    rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt, taken_for=taken_for(claim, reading),
                    reason=reading.rules.words("contrary_count", figure=excerpt, n=told), would_stand=told,
                )  # fmt: skip
                return
