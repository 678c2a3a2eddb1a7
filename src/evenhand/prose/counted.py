"""Counts of tests in which one is ahead, as a sentence has them, held against the record."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from operator import eq, ge, gt, le, lt

from evenhand.findings.finding import Outcome
from evenhand.prose.asked import SAYS, Question
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import SIDED, Claim, Reading
from evenhand.prose.signs import Named
from evenhand.prose.spelling import value_of
from evenhand.prose.spoken import place_of, taken_for
from evenhand.publish.numbers import counted
from evenhand.verdicts.claims import Kind

BOUNDS = {"scope.at_most": le, "scope.at_least": ge, "scope.more_than": gt, "scope.fewer_than": lt}
"""Words right before a count, and how the right one is to it."""
NEARLY = 0.5  # of a test, within which a share of the tests is a count


def _about(n: float, told: float) -> bool:
    return abs(n - told) <= NEARLY


SHARES = {
    "most": (0.5, gt),
    "few": (0.5, lt),
    "half": (0.5, _about),
    "third": (1 / 3, _about),
    "thirds": (2 / 3, _about),
}
"""Shares of the tests by name of the group that finds them, and how the right count is to each."""
EXTREME = ("first", "last")


def count_in(claim: Claim, reading: Reading) -> re.Match[str] | None:
    """Where a claim counts tests ("in seven of the nine tests"); None where it does not."""
    if claim.rule.says not in {*SIDED, *EXTREME, "level"} or claim.rule.of != "speed":
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
    if not groups and rules["scope.played"].search(found[0]):
        groups = reading.ground.groups
    wrong: int | None = None
    for tests in map(reading.ground.group_tests, groups or ("",)):
        told = _told(found, len(tests), reading)
        if told is None:
            return
        counts = _counts(claim, tests, reading)
        right = [told.fits(n, told.n) for n in counts]
        if any(right) if claim.open else all(right):
            return  # of every pair; where nobody said against whom, of one
        wrong = counts[right.index(False)] if wrong is None else wrong
    place, excerpt = place_of(found.span(), reading)
    right_count = counted(wrong or 0, rules.said["test"])
    yield Objection(
        rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt, taken_for=taken_for(claim, reading),
        reason=rules.words("contrary_count", figure=excerpt, n=right_count), would_stand=right_count,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class _Told:
    """In how many tests something is said, and how the right count has to be to it."""

    n: float
    fits: Callable[[float, float], bool] = eq


def _told(found: re.Match[str], tests: int, reading: Reading) -> _Told | None:
    """What a count says of so many tests; None where it is no number."""
    name, words = next((k, v) for k, v in found.groupdict().items() if v)
    if name in SHARES:
        share, fits = SHARES[name]
        return _Told(n=share * tests, fits=fits)
    n = value_of(words, reading.rules)
    if n is None:
        return None
    if name.startswith("but"):
        return _Told(n=tests - n)
    before = reading.sentence.text[: found.start(name)]
    bound = next((bound for bound in BOUNDS if reading.rules[bound].search(before)), "")
    return _Told(n=n, fits=BOUNDS.get(bound, eq))


def _counts(claim: Claim, tests: tuple[str, ...], reading: Reading) -> list[int]:
    """In how many tests of a group each pair has its first ahead; of who is first or last, all
    pairs together.
    """
    pairs = [(a, b) for a in claim.better for b in claim.worse if a != b] or [
        (claim.better[0], claim.better[1])
    ]
    ahead = [_ahead_in(claim, pair, tests, reading) for pair in pairs]
    return [len(set.intersection(*ahead))] if claim.rule.says in EXTREME else [len(each) for each in ahead]


def _ahead_in(claim: Claim, pair: tuple[str, str], tests: tuple[str, ...], reading: Reading) -> set[str]:
    """In which of these tests the first of a pair is called ahead."""
    base = Question(
        kind=Kind.TEST,
        first=pair[0],
        other=pair[1],
        says=SAYS.get(claim.rule.says, Outcome.AHEAD),
        metric=claim.scope.metric,
    )
    found = {test: replace(base, about=test).asked(reading.ground) for test in tests}
    return {test for test, each in found.items() if each is not None and each.allowed}
