"""Loans, gifts, payments and links that a sentence tells of, where the record has none."""

from __future__ import annotations

import re
from collections.abc import Iterator

from evenhand.prose.objection import Objection, Rule
from evenhand.prose.reading import Reading
from evenhand.prose.signs import Named
from evenhand.prose.spoken import place_of
from evenhand.records.builds import Part
from evenhand.records.publications import How


def told_of(reading: Reading) -> Iterator[Objection]:
    """What a sentence tells of how a part was come by, and the record does not have."""
    text, rules = reading.sentence.text, reading.rules
    if rules["clauses.question"].search(text) or rules["telling.denied"].search(text):
        return
    for how in How:
        found = rules[f"telling.{how}"].search(text) if f"telling.{how}" in rules.found else None
        if found is None:
            continue
        parts = _parts(reading)
        who = parts or (reading.ground.parts if rules["telling.at_large"].search(text) else ())
        if who and not any(how in reading.ground.disclosures.get(part.key, ()) for part in who):
            yield _objection(how, found.span(), parts, reading)
            return


def _parts(reading: Reading) -> tuple[Part, ...]:
    """The parts that a sentence speaks of: by name, by kind, or all of a maker that it names."""
    sentence, parts = reading.sentence, reading.ground.parts
    named = tuple(part for part in parts if part.key in sentence.keys(Named.PART))
    if named:
        return named
    setups = sentence.keys(Named.SETUP)
    inside = {key for setup in setups for key in reading.ground.inside.get(setup, ())}
    kinds = sentence.keys(Named.KIND)
    of_kind = tuple(part for part in parts if part.kind in kinds and (part.key in inside or not setups))
    words = set(re.findall(r"\w+", sentence.text.casefold()))
    return of_kind or tuple(part for part in parts if part.name.split()[0].casefold() in words)


def _objection(how: How, span: tuple[int, int], parts: tuple[Part, ...], reading: Reading) -> Objection:
    place, excerpt = place_of(span, reading)
    rules = reading.rules
    called = rules.said[f"how_{how}"]
    one = parts[0].name if len(parts) == 1 else ""
    reason = rules.words("told_of", how=called, part=one) if one else rules.words("told_of_none", how=called)
    return Objection(rule=Rule.NOT_ON_RECORD, place=place, excerpt=excerpt, reason=reason)
