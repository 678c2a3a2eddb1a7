"""References that are of something else than their clause speaks of."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.errors import EvenhandError
from evenhand.prose.clauses import clauses
from evenhand.prose.figures import sorts_spoken
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.quotable import Quotable
from evenhand.prose.reading import Reading
from evenhand.prose.references import resolve, written
from evenhand.prose.scopes import reference_places
from evenhand.prose.signs import Named
from evenhand.prose.spoken import place_of
from evenhand.publish.numbers import listed


@dataclass(frozen=True, slots=True, kw_only=True)
class Spoken:
    """What a clause names: tests, audiences and setups, and the sorts of figure that its words are of."""

    tests: frozenset[str]
    audiences: frozenset[str]
    setups: frozenset[str]
    topics: frozenset[str]


def misplaced_references(reading: Reading) -> Iterator[Objection]:
    """References to another test, audience, setup or sort of figure than their clause speaks of."""
    places = reference_places(reading.sentence)
    for clause in clauses(reading.sentence, reading.rules):
        spoken = _spoken(clause.span, reading)
        for reference, at in zip(reading.sentence.references, places, strict=False):
            if not clause.start <= at < clause.end:
                continue
            try:
                quoted, _ = resolve(reference, reading.ground.quotables)
            except EvenhandError:
                continue
            wrong = _wrong(quoted, spoken, reading)
            if wrong:
                place, excerpt = place_of((at, at + 1), reading)
                yield Objection(
                    rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt, reason=wrong,
                    would_stand=_in_its_place(quoted, spoken, reading),
                )  # fmt: skip


def _spoken(span: tuple[int, int], reading: Reading) -> Spoken:
    sentence = reading.sentence
    return Spoken(
        tests=frozenset(sentence.keys(Named.TEST, span)),
        audiences=frozenset(sentence.keys(Named.AUDIENCE, span)),
        setups=frozenset(sentence.keys(Named.SETUP, span)), topics=sorts_spoken(span, reading),
    )  # fmt: skip


def _wrong(quoted: Quotable, spoken: Spoken, reading: Reading) -> str:
    """Why a reference does not belong where it stands; "" where it does."""
    names, rules, people = reading.ground.names, reading.rules, reading.ground.audiences
    own, setups = quoted.tests if len(quoted.tests) == 1 else (), quoted.setups
    if _is_of_another_sort(quoted, spoken, rules.plain.get("topics", {})):
        return rules.words("contrary_sort", meaning=quoted.definition)
    if own and spoken.tests and not set(own) <= spoken.tests:
        sides = tuple(map(names.test, own)), tuple(map(names.test, sorted(spoken.tests)))
    elif quoted.audience and spoken.audiences and quoted.audience not in spoken.audiences:
        sides = (people[quoted.audience],), tuple(people[a] for a in sorted(spoken.audiences))
    elif setups and not set(setups) <= spoken.setups and len(spoken.setups) >= len(setups):
        sides = tuple(map(names.setup, setups)), tuple(map(names.setup, sorted(spoken.setups)))
    else:
        return ""
    return rules.words("contrary_reference", of=listed(sides[0]), named=listed(sides[1]))


def _is_of_another_sort(quoted: Quotable, spoken: Spoken, known: dict[str, str]) -> bool:
    """Whether the clause speaks of another sort of figure and in no word of this one."""
    return quoted.sort.value in known and bool(spoken.topics) and quoted.sort.value not in spoken.topics


def _in_its_place(quoted: Quotable, spoken: Spoken, reading: Reading) -> str:
    """The reference of the same sort for what the clause speaks of, where there is one."""
    for other in reading.ground.quotables.figures.values():
        alike = other.sort is quoted.sort and other.metric == quoted.metric
        setups = set(other.setups) == (spoken.setups or set(quoted.setups))
        if alike and setups and other.tests and set(other.tests) <= spoken.tests and other.value > 0:
            return written(other, reading.ground.quotables)
    return ""
