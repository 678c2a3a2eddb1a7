"""How often was run, as a sentence has it, held against the runs that count."""

from __future__ import annotations

import re
from collections.abc import Iterator

from evenhand.prose.objection import Objection, Rule
from evenhand.prose.quotable import Quotable, Sort
from evenhand.prose.reading import Reading
from evenhand.prose.signs import Named
from evenhand.prose.spelling import value_of
from evenhand.prose.spoken import place_of
from evenhand.publish.numbers import listed, number

FEW = 2  # of the counts on record that are told; the smallest are those of one machine in one test


def miscounted_runs(reading: Reading) -> Iterator[Objection]:
    """A number of runs of each machine in each test, or of all, that is not the record's."""
    text, rules = reading.sentence.text, reading.rules
    found = rules["repeated.runs"].search(text)
    if found is None or rules["repeated.other"].search(text):
        return
    counts = _counts(reading, whole=bool(rules["repeated.whole"].search(text)))
    said = value_of(next(filter(None, found.groupdict().values()), ""), rules)
    if counts and said is not None and said not in counts:
        yield _objection(found, sorted(counts), reading)


def _counts(reading: Reading, *, whole: bool) -> set[float]:
    """How many runs the record has: of all together, or of each setup and test that is spoken of."""
    setups, tests = (set(reading.sentence.keys(named)) for named in (Named.SETUP, Named.TEST))
    own = [q for q in reading.ground.quotables.figures.values() if q.sort is Sort.RUNS]
    if whole:
        return {q.value for q in own if not q.setups}
    cells = [q for q in own if q.setups and _is_spoken_of(q, setups, tests)]
    return {q.value for q in cells} | set(_sums(cells))


def _sums(cells: list[Quotable]) -> Iterator[float]:
    """How many there are of each setup in all tests, and of all setups in each test."""
    for by in ("setups", "tests"):
        of: dict[tuple[str, ...], float] = {}
        for cell in cells:
            of[getattr(cell, by)] = of.get(getattr(cell, by), 0.0) + cell.value
        yield from of.values()


def _is_spoken_of(quoted: Quotable, setups: set[str], tests: set[str]) -> bool:
    named = not setups or not quoted.setups or set(quoted.setups) <= setups
    return named and (not tests or not quoted.tests or set(quoted.tests) <= tests)


def _objection(found: re.Match[str], counts: list[float], reading: Reading) -> Objection:
    place, excerpt = place_of(found.span(), reading)
    told = f"{listed(tuple(map(number, counts[:FEW])))} {Sort.RUNS}"
    return Objection(
        rule=Rule.CONTRARY_NUMBER, place=place, excerpt=excerpt, would_stand=told,
        reason=reading.rules.words("contrary_runs", figure=excerpt, n=told),
    )  # fmt: skip
