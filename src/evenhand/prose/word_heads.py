"""The words of a clause that say who comes off better, by class: each for or against whom it is said of."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.prose.clauses import Clause
from evenhand.prose.reading import Reading
from evenhand.prose.signs import Named

FIRM = (("polar.firm_up", 1, False), ("polar.firm_down", -1, False), ("polar.firm_to", 1, True),
        ("polar.firm_from", -1, True))  # fmt: skip
"""Words that claim a lead by themselves: said for or against whom a clause is about, or who follows."""
UPON = (("polar.upon", 1, False),)
"""What claims one where none of these does: what one does to another."""
CLEFT = (("polar.cleft", 1, True),)
"""What claims one where not even that does, and nobody is blamed: who is put forward."""
ANSWER = (("polar.answer", 1, True),)
"""The same behind a question or a condition: who is named in the end."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """Words for whom they are said of (`sign` 1) or against them; `of` is who, () for its subject."""

    found: re.Match[str]
    sign: int
    of: tuple[str, ...] = ()


def firm_heads(reading: Reading, clause: Clause) -> tuple[Head, ...]:
    """The heads of a clause in reading order; of two that want the same words the longer has them."""
    every = list(_every(reading, clause, FIRM))
    if not every:
        every = list(_every(reading, clause, UPON))
    if not every and not reading.rules["polar.down"].search(reading.text((clause.start, clause.quiet_from))):
        answers = ANSWER if reading.rules["polar.asked"].search(reading.sentence.text) else ()
        every = list(_every(reading, clause, (*CLEFT, *answers)))
    every.sort(key=lambda h: (-len(h.found[0]), h.found.start()))
    kept: list[Head] = []
    for head in every:
        start, end = head.found.span()
        if all(end <= k.found.start() or start >= k.found.end() for k in kept):
            kept.append(head)
    return tuple(sorted(kept, key=lambda h: h.found.start()))


def _every(reading: Reading, clause: Clause, classes: tuple[tuple[str, int, bool], ...]) -> Iterator[Head]:
    text = reading.sentence.text
    for name, sign, onward in classes:
        for found in reading.rules[name].finditer(text, clause.start, clause.quiet_from):
            of = _named_from(reading, clause, found) if onward else ()
            if of or not onward:
                yield Head(found=found, sign=sign, of=of)


def _named_from(reading: Reading, clause: Clause, found: re.Match[str]) -> tuple[str, ...]:
    """Who is named in a head or behind it, with who stands in a row with them."""
    rules, pair = reading.rules, reading.sentence.keys(Named.SETUP, (0, found.start()))
    pair = pair if len(pair) == 2 else reading.context.pair
    for place, which in ((0, "roles.former"), (-1, "roles.latter")):
        if pair and rules[which].match(reading.sentence.text, found.end()):
            return (pair[place],)
    row: list[str] = []
    last = -1
    for mention in reading.sentence.of(Named.SETUP, (found.start(), clause.end)):
        between = reading.text((last + 1, mention.at)) if last >= 0 else ""
        if last >= 0 and not reading.rules["roles.chain"].fullmatch(between):
            break
        row.append(mention.key)
        last = mention.at
    return tuple(dict.fromkeys(row))
