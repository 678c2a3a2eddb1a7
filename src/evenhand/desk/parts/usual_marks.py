"""How good a part is said to be at a role, held against what is said of others of its kind."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from evenhand.desk.parts.items import facts_by_part
from evenhand.desk.study.checking import FieldProblem
from evenhand.fit.words import word
from evenhand.publish.numbers import as_written, number
from evenhand.records.builds import Part
from evenhand.records.part_facts import PERFORMANCE
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

ABSURD = 3
"""So many times the highest of its kind, or so small a share of the lowest, is asked about."""
SURE = "correct it, or say that you are sure"


def marks_asked(wb: Workbench, part: Part, values: Mapping[str, Any]) -> tuple[FieldProblem, ...]:
    """A question for each value, by fact, that is far from those of other parts of its kind."""
    if not any(key.startswith(PERFORMANCE) and value is not None for key, value in values.items()):
        return ()
    return tuple(_asked(part, values, facts_by_part(wb, _others(wb, part))))


def _others(wb: Workbench, part: Part) -> list[str]:
    kind = word(part.kind)
    return [each.key for each in shelves.every(wb, Part) if each.key != part.key and word(each.kind) == kind]


def _asked(part: Part, values: Mapping[str, Any], others: Mapping[str, Any]) -> Iterator[FieldProblem]:
    for key, value in values.items():
        own = [facts[key].value for facts in others.values() if key in facts]
        known = [each for each in own if each is not None]
        if not (key.startswith(PERFORMANCE) and value is not None and known):
            continue
        if said := far_words(value, min(known), max(known), part.kind):
            yield FieldProblem(field=key, found=said, todo=SURE)


def far_words(value: float, least: float, most: float, kind: str) -> str:
    r"""That a mark is far from those of its kind, as a question; "" where it is not.

    >>> far_words(146, 1.0, 1.5, "graphics").replace("\xa0", " ")
    '146 is 97 times 1.5, the highest of any other graphics here: is that so?'
    >>> far_words(4.5, 1.0, 1.5, "graphics"), far_words(0.4, 1.0, 1.5, "graphics")
    ('', '')
    """
    if value > ABSURD * most:
        said, highest = as_written(value), as_written(most)
        times = f"more than {number(value // most)}" if value < 10 * most else number(value / most)
        return f"{said} is {times} times {highest}, the highest of any other {kind} here: is that so?"
    if value * ABSURD < least:
        lowest = as_written(least)
        return (
            f"{as_written(value)} is less than a third of {lowest}, the lowest of any other {kind} here: "
            "is that so?"
        )
    return ""
