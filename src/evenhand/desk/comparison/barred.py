"""Tests of which some pair may form no ratio, and what would make one: no run under these terms will."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.desk.comparison.cells import cell
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.finding import Finding
from evenhand.findings.live_finding import LiveFinding
from evenhand.findings.machines import same_values
from evenhand.publish.numbers import capital, count_word, listed
from evenhand.publish.sentences import is_refused

BRIDGE = "Run one setup again under both, or measure both under one of them"


@dataclass(frozen=True, slots=True, kw_only=True)
class Barred:
    """A test by its name, whether every pair of it is barred, and what to do, without a stop."""

    test: str
    wholly: bool
    todo: str


def barred_tests(record: StudyOnRecord, findings: Sequence[Finding | LiveFinding]) -> tuple[Barred, ...]:
    """The tests that have runs on both sides of a pair and yet no ratio, in the order in which they come."""
    own = [found for found in findings if isinstance(found, Finding) and found.headline]
    refused = {found.test: found for found in reversed(own) if is_refused(found)}
    return tuple(
        Barred(
            test=record.tests[test].name,
            wholly=all(is_refused(found) for found in own if found.test == test),
            todo=_todo(record, refused[test]),
        )
        for test in dict.fromkeys(found.test for found in own)
        if test in refused
    )


def _todo(record: StudyOnRecord, found: Finding) -> str:
    """By the first thing that the test fixes and the sides say otherwise, else by their conditions."""
    test = record.tests[found.test]
    a, b = (cell(record, test, setup, found.metric) for setup in (found.a, found.b))
    fixed, of_b = {*a.fixes, *b.fixes}, dict(b.says)
    for name, said in a.says:
        other = of_b.get(name, ())
        if name in fixed and other and not same_values(said, other):
            return f"Measure both with one {name}"
    return BRIDGE


def barred_words(barred: Sequence[Barred], tests: int) -> str:
    """That no ratio may be formed, and where.

    >>> barred_words([Barred(test="Quay", wholly=True, todo="")], 2)
    'No ratio may be formed in Quay.'
    """
    whole = [each for each in barred if each.wholly]
    if len(whole) == tests > 1:
        any_of = "either of two tests" if tests == 2 else f"any of {count_word(tests)} tests"
        return f"No ratio may be formed in {any_of}."
    told = [f"in {listed(tuple(each.test for each in whole))}"] if whole else []
    part = tuple(each.test for each in barred if not each.wholly)
    told += [f"of some pair in {listed(part)}"] if part else []
    return capital(f"no ratio may be formed {', nor '.join(told)}.")
