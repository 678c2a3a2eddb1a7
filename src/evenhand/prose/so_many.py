"""How many tests a claim is said over, held against how many are compared: "over these nine tests"."""

from __future__ import annotations

import re
from collections.abc import Iterator

from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Claim, Reading
from evenhand.prose.signs import Named
from evenhand.prose.spelling import value_of
from evenhand.prose.spoken import place_of
from evenhand.publish.numbers import counted

FEWEST = 2  # one test is no number of them


def miscounted_tests(reading: Reading, claims: tuple[Claim, ...]) -> Iterator[Objection]:
    """A number of tests that a sentence speaks over and the record does not compare.

    What is said over so many tests has to be an index over just as many, a group, or as many as were named;
    what is said in, or of, so many may be of some of them, but never of more than there are.
    """
    own = [each for each in claims if not (each.denied or each.scope.without)]
    for found in reading.rules["scope.so_many"].finditer(reading.sentence.text):
        name, said = next(((k, v) for k, v in found.groupdict().items() if v), ("", ""))
        n = value_of(said, reading.rules)
        sure = name.startswith("sure")  # of the tests themselves, whatever is said of setups
        if n is None or n < FEWEST or not (own or sure):
            continue
        right = _compared(found, own, reading, indexed=name.startswith("over"))
        some = name.startswith("some")
        if n not in {*right, *_named(reading)} and not (some and n < max(right)):
            yield _objection(found.span(name), reading, right[0])
            return


def _compared(found: re.Match[str], claims: list[Claim], reading: Reading, *, indexed: bool) -> list[int]:
    """How many tests the record has: of the group that is named, in all, and in every group.

    Of what is `indexed` it is as many as its indexes join.
    """
    ground, named = reading.ground, reading.sentence.keys(Named.GROUP, found.span())
    played = reading.rules["scope.played"].search(found[0])
    groups = named or (*_groups_nearby(claims, reading), "", *(ground.groups if played else ()))
    sizes = [len(ground.group_tests(group)) for group in groups]
    if not indexed or any(claim.scope.audience or claim.rule.of != "speed" for claim in claims):
        return sizes
    joined = [
        len(index.tests)
        for group in groups for backing in ground.backings.values()
        if (index := backing.indexes.get(group)) is not None
    ]  # fmt: skip
    return joined or sizes


def _groups_nearby(claims: list[Claim], reading: Reading) -> tuple[str, ...]:
    """The groups that are spoken of: in the sentence, by its claims, or in what was said before it."""
    context = reading.context
    scopes = (*(claim.scope for claim in claims), context.asked, context.last, context.heading)
    told = (*reading.sentence.keys(Named.GROUP), *(scope.group for scope in scopes if scope.group))
    return tuple(dict.fromkeys(told))


def _named(reading: Reading) -> set[int]:
    """How many tests were named here, in the sentence before, or in the heading."""
    here, context = reading.sentence.keys(Named.TEST), reading.context
    rows = (here, context.last.tests, context.heading.tests, {*here, *context.last.tests})
    return set(map(len, rows))


def _objection(span: tuple[int, int], reading: Reading, right: int) -> Objection:
    place, excerpt = place_of(span, reading)
    told = counted(right, reading.rules.said["test"])
    return Objection(
        rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt, would_stand=told,
        reason=reading.rules.words("contrary_count", figure=excerpt, n=told),
    )  # fmt: skip
